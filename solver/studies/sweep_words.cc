#include "studies/sweep_words.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "advice/words.h"
#include "network/draft.h"
#include "text/cat.h"
#include "text/layout.h"
#include "text/number.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

using Cells = std::vector<std::string>;

std::string ValueInWords(const Value& value, const std::string& unit) {
  if (const double* number = std::get_if<double>(&value)) {
    return Cat(FormatDecimal(*number, 5), unit.empty() ? "" : " ", unit);
  }
  if (const bool* on = std::get_if<bool>(&value)) return *on ? "true" : "false";
  if (const std::string* text = std::get_if<std::string>(&value)) return *text;
  return "rows";
}

std::string FlowCell(double flow) {
  if (!std::isfinite(flow)) return "-";
  char text[32];
  std::snprintf(text, sizeof text, "%.2f", flow * kHour);
  return std::string(text) == "-0.00" ? "0.00" : text;
}

TextTable RightAlignedTable() {
  return TextTable({.columns = "r", .indent = 2, .gap = 3});
}

// At most `most` of the numbers below `count`, spread evenly, first and last among them.
std::vector<std::size_t> Spread(std::size_t count, std::size_t most) {
  std::vector<std::size_t> chosen;
  const std::size_t shown = std::min(count, most);
  for (std::size_t i = 0; i < shown; ++i) {
    chosen.push_back(shown == 1 ? 0 : (i * (count - 1) + (shown - 1) / 2) / (shown - 1));
  }
  return chosen;
}

// Which components to show of many.
class Chooser {
 public:
  explicit Chooser(const SweepResult& sweep) : sweep_(sweep) {}

  std::vector<std::string> MostChanging(std::size_t most) const {
    std::vector<std::size_t> order(sweep_.component_names.size());
    for (std::size_t c = 0; c < order.size(); ++c) order[c] = c;
    std::vector<double> range;
    // Rounded, so that of parts in series the first is taken, whatever the last digits say.
    constexpr double kAlike = 1e-7;  // [m³/s]
    for (std::size_t c : order) range.push_back(std::round(Range(c) / kAlike));
    for (const SweepAxis& axis : sweep_.axes) {  // what is swept comes first
      for (std::size_t c : order) {
        const bool swept = sweep_.component_names[c] == SplitTarget(axis.target).component;
        if (swept) range[c] = std::numeric_limits<double>::infinity();
      }
    }
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return range[a] > range[b]; });
    std::vector<std::size_t> chosen;
    for (std::size_t c : order) {
      if (chosen.size() == most) break;
      const bool seen = std::any_of(chosen.begin(), chosen.end(),
                                    [&](std::size_t other) { return SameFlows(c, other); });
      if (!seen) chosen.push_back(c);
    }
    std::vector<std::string> names;
    for (std::size_t c : chosen) names.push_back(sweep_.component_names[c]);
    return names;
  }

 private:
  double Range(std::size_t c) const {
    double low = 0.0, high = 0.0;
    bool any = false;
    for (std::size_t row = 0; row < sweep_.num_rows(); ++row) {
      const double flow = FlowOf(row, c);
      if (!std::isfinite(flow)) continue;
      low = any ? std::min(low, flow) : flow;
      high = any ? std::max(high, flow) : flow;
      any = true;
    }
    return high - low;
  }

  double FlowOf(std::size_t row, std::size_t c) const {
    return sweep_.flow[row * sweep_.component_names.size() + c];
  }

  // Parts in series have the same flows.
  bool SameFlows(std::size_t a, std::size_t b) const {
    constexpr double kAlike = 1e-8;  // [m³/s]: balance of the solver, ten times
    for (std::size_t row = 0; row < sweep_.num_rows(); ++row) {
      if (std::abs(FlowOf(row, a) - FlowOf(row, b)) > kAlike) return false;
    }
    return true;
  }

  const SweepResult& sweep_;
};

class SweepReport {
 public:
  SweepReport(const SweepResult& sweep, const std::vector<std::string>& components)
      : sweep_(sweep),
        components_(components.empty() ? sweep.MostChanging(sweep.axes.size() == 1 ? 4 : 1)
                                       : components) {}

  std::string Write() const {
    std::string text = Cat(sweep_.title, sweep_.title.empty() ? "" : ": ");
    Cells targets;
    for (const SweepAxis& axis : sweep_.axes) targets.push_back(axis.target);
    text += Cat(ListInWords(targets), " swept over ", std::to_string(sweep_.num_rows()), " rows\n");
    text += sweep_.axes.size() == 1 ? FlowsByValue() : FlowsByBothValues();
    text += Failures();
    for (const InstalledCharacteristic& valve : sweep_.installed) text += AboutValve(valve);
    if (sweep_.interrupted) text += "\nInterrupted: not every row was solved.\n";
    return text + "\n" + std::string(kCaution) + "\n";
  }

 private:
  static constexpr std::size_t kMostRows = 13, kMostColumns = 7;

  std::string FlowsByValue() const {
    TextTable table = RightAlignedTable();
    Cells names = {sweep_.axes[0].target}, units = {sweep_.units[0]};
    names.insert(names.end(), components_.begin(), components_.end());
    units.insert(units.end(), components_.size(), "m3/h");
    table.Add(std::move(names));
    table.Add(std::move(units));
    for (const std::size_t row : Spread(sweep_.num_rows(), kMostRows)) {
      Cells cells = {ValueInWords(sweep_.ValueAt(row, 0), "")};
      for (const std::string& name : components_) cells.push_back(FlowCell(sweep_.Flow(row, name)));
      table.Add(std::move(cells));
    }
    return table.Text();
  }

  std::string FlowsByBothValues() const {
    std::string text;
    const std::size_t columns = sweep_.axes[1].values.size();
    const std::vector<std::size_t> shown = Spread(columns, kMostColumns);
    for (const std::string& name : components_) {
      TextTable table = RightAlignedTable();
      Cells heading = {sweep_.axes[0].target};
      for (const std::size_t column : shown) {
        heading.push_back(ValueInWords(sweep_.axes[1].values[column], sweep_.units[1]));
      }
      table.Add(std::move(heading));
      for (const std::size_t value : Spread(sweep_.axes[0].values.size(), kMostRows)) {
        Cells cells = {ValueInWords(sweep_.axes[0].values[value], sweep_.units[0])};
        for (const std::size_t column : shown) {
          cells.push_back(FlowCell(sweep_.Flow(value * columns + column, name)));
        }
        table.Add(std::move(cells));
      }
      text += Cat("\n", name, ", m3/h, ", sweep_.axes[1].target, " across\n") + table.Text();
    }
    return text;
  }

  std::string Failures() const {
    constexpr std::size_t kMost = 3;
    std::string text;
    std::size_t count = 0;
    for (std::size_t row = 0; row < sweep_.num_rows(); ++row) {
      if (sweep_.solved[row] || sweep_.reason[row] == "interrupted") continue;
      if (++count > kMost) continue;
      text += Cat("no solution at ", SettingInWords(sweep_, 0, sweep_.ValueIndex(row, 0)));
      if (sweep_.axes.size() == 2) {
        text += Cat(", ", SettingInWords(sweep_, 1, sweep_.ValueIndex(row, 1)));
      }
      text += Cat(": ", sweep_.reason[row], "\n");
    }
    if (count > kMost) text += Cat("and at ", std::to_string(count - kMost), " more\n");
    return text.empty() ? "" : "\n" + text;
  }

  std::string AboutValve(const InstalledCharacteristic& valve) const {
    std::string text =
        Cat("\n", valve.valve, valve.other.empty() ? " where it is installed" : " at ", valve.other,
            "\n");
    if (std::isnan(valve.full_flow)) return text + "  fully open there is no solution\n";
    text += Cat("  fully open it passes ", InCubicMetres(valve.full_flow));
    if (std::isfinite(valve.enough_opening)) {
      text += Cat(", and ", InPercent(sweep_.enough), " of that from ",
                  InPercent(valve.enough_opening), " open on: beyond, turning it does little");
    }
    text += "\n";
    if (std::isfinite(valve.authority)) {
      text += Cat("  authority ", ThreeDigits(valve.authority), ": it drops ",
                  InMetres(valve.drop_open), " fully open and ", InMetres(valve.drop_shut),
                  valve.nearly_shut ? " nearly shut\n" : " shut\n");
    }
    if (std::isfinite(valve.best_from)) {
      text +=
          Cat("  it controls best from ", InPercent(valve.best_from), " to ",
              InPercent(valve.best_to), " open: flow follows at half to twice the wheel's rate\n");
    }
    return text;
  }

  const SweepResult& sweep_;
  std::vector<std::string> components_;
};

}  // namespace

std::string SettingInWords(const SweepResult& sweep, std::size_t axis, std::size_t value) {
  return Cat(sweep.axes[axis].target, " = ",
             ValueInWords(sweep.axes[axis].values[value], sweep.units[axis]));
}

std::vector<std::string> SweepResult::MostChanging(std::size_t most) const {
  return Chooser(*this).MostChanging(most);
}

std::string SweepResult::Report(const std::vector<std::string>& components) const {
  return SweepReport(*this, components).Write();
}

}  // namespace handwheel
