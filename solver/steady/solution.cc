#include <algorithm>
#include <cmath>
#include <cstdio>

#include "handwheel/errors.h"
#include "handwheel/steady.h"
#include "network/names.h"
#include "text/layout.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

constexpr double kPascalPerBar = 1e5;

std::string Cell(double value, const char* format) {
  if (!std::isfinite(value)) return "-";
  char text[64];
  std::snprintf(text, sizeof text, format, value);
  const bool is_zero = std::string_view(text).find_first_of("123456789") == std::string_view::npos;
  return is_zero && text[0] == '-' ? text + 1 : text;
}

TextTable ReportTable() {
  return TextTable({.columns = "lr", .indent = 2, .gap = 3});
}

// Of many points that are shut in, one line.
std::vector<Advice> Gathered(std::vector<Advice> findings) {
  constexpr std::size_t kNamed = 3;
  const auto is_shut_in = [](const Advice& advice) { return advice.kind == "shut-in"; };
  const auto first = std::find_if(findings.begin(), findings.end(), is_shut_in);
  const auto count =
      static_cast<std::size_t>(std::count_if(findings.begin(), findings.end(), is_shut_in));
  if (count < 2) return findings;
  std::string names;
  std::size_t named = 0;
  for (const Advice& advice : findings) {
    if (!is_shut_in(advice) || named++ >= kNamed) continue;
    names += (names.empty() ? "\"" : "\", \"") + advice.component;
  }
  names += "\"";
  if (count > kNamed) names += " (+" + std::to_string(count - kNamed) + ")";
  first->message = "No open path joins " + names +
                   " to a vessel: their pressure is undetermined. They may still hold pressure; "
                   "prove it before opening anything.";
  findings.erase(std::remove_if(first + 1, findings.end(), is_shut_in), findings.end());
  return findings;
}

// A line for each finding, and what to check next where it differs from the line before.
std::string AdviceText(const std::vector<Advice>& findings) {
  std::string text, last;
  for (const Advice& advice : findings) {
    if (!last.empty() && advice.check != last) text += "  check: " + last + "\n";
    text += advice.severity + ": " + advice.message + "\n";
    last = advice.check;
  }
  return last.empty() ? text : text + "  check: " + last + "\n";
}

}  // namespace

Solution Solution::FromData(SolutionData data) {
  Solution made;
  made.point_names_ = data.network.PointNames();
  made.component_names_ = data.network.ComponentNames();
  const auto fits = [](const std::vector<std::string>& names, const auto&... arrays) {
    return ((arrays.size() == names.size()) && ...);
  };
  if (!fits(made.point_names_, data.head, data.pressure, data.outflow, data.shut_in) ||
      !fits(made.component_names_, data.flow, data.velocity, data.drop, data.leak, data.state)) {
    throw NetworkError("a stored solution does not fit its network");
  }
  made.network_ = std::move(data.network);
  made.liquid_ = data.liquid;
  made.summary_ = std::move(data.summary);
  made.head_ = std::move(data.head);
  made.pressure_ = std::move(data.pressure);
  made.outflow_ = std::move(data.outflow);
  made.shut_in_ = std::move(data.shut_in);
  made.flow_ = std::move(data.flow);
  made.velocity_ = std::move(data.velocity);
  made.drop_ = std::move(data.drop);
  made.leak_ = std::move(data.leak);
  made.state_ = std::move(data.state);
  made.loops_ = std::move(data.loops);
  made.corrections_ = std::move(data.loop_corrections);
  return made;
}

int Solution::PointIndex(std::string_view name) const {
  return static_cast<int>(IndexOfName(point_names_, name, "point"));
}
int Solution::ComponentIndex(std::string_view name) const {
  return static_cast<int>(IndexOfName(component_names_, name, "component"));
}
double Solution::Head(std::string_view point) const {
  return head_[Index(PointIndex(point))];
}
double Solution::Pressure(std::string_view point) const {
  return pressure_[Index(PointIndex(point))];
}
double Solution::Flow(std::string_view component) const {
  return flow_[Index(ComponentIndex(component))];
}
double Solution::Velocity(std::string_view component) const {
  return velocity_[Index(ComponentIndex(component))];
}
double Solution::Drop(std::string_view component) const {
  return drop_[Index(ComponentIndex(component))];
}
FlowState Solution::State(std::string_view component) const {
  return state_[Index(ComponentIndex(component))];
}

std::string Solution::Report() const {
  std::string text = network_.title.empty() ? "" : network_.title + "\n";
  TextTable points = ReportTable();
  points.Add({"point", "head m", "bar g", "out m3/h"});
  for (std::size_t p = 0; p < point_names_.size(); ++p) {
    points.Add({point_names_[p], shut_in_[p] ? "shut in" : Cell(head_[p], "%.2f"),
                Cell(pressure_[p] / kPascalPerBar, "%.3f"), Cell(outflow_[p] * kHour, "%.2f")});
  }
  text += points.Text() + "\n";
  TextTable components = ReportTable();
  components.Add({"component", "flow m3/h", "m/s", "drop m", ""});
  for (std::size_t l = 0; l < component_names_.size(); ++l) {
    const bool plain = state_[l] == FlowState::kOpen || state_[l] == FlowState::kForward;
    components.Add({component_names_[l], Cell(flow_[l] * kHour, "%.2f"), Cell(velocity_[l], "%.2f"),
                    Cell(drop_[l], "%.2f"), plain ? "" : std::string(FlowStateName(state_[l]))});
  }
  text += components.Text() + "\n" + summary_.message + ".\n";
  return text + AdviceText(Gathered(advice()));
}

}  // namespace handwheel
