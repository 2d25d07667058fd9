#include <algorithm>
#include <cstdio>
#include <iterator>
#include <memory>
#include <optional>

#include "commands.h"
#include "handwheel/file.h"
#include "handwheel/units.h"
#include "output.h"
#include "requests.h"
#include "text/layout.h"

namespace handwheel::shell {
namespace {

// One line a part: what it is, where it goes, and what it is set to.
class Overview {
 public:
  explicit Overview(const Network& network) : network_(network) {}

  std::string Text() {
    if (!network_.title.empty()) text_ += network_.title + "\n";
    if (!network_.story.empty()) text_ += network_.story + "\n";
    text_ += "\nliquid: " + network_.fluid.name + "\n";
    ListPoints();
    ListComponents();
    ListCases();
    return text_;
  }

 private:
  void ListPoints() {
    Heading("vessels", network_.vessels.size());
    for (const Vessel& v : network_.vessels) {
      Line(v.name, {Metres("elevation", v.elevation), Metres("level", v.level),
                    Bar("gas_pressure", v.gas_pressure)});
    }
    Heading("junctions", network_.junctions.size());
    for (const Junction& j : network_.junctions) {
      Line(j.name, {Metres("elevation", j.elevation),
                    j.feed > 0.0 ? PerHour("feed", j.feed) : PerHour("draw", j.draw)});
    }
  }

  void ListComponents() {
    Heading("pipes", network_.pipes.size());
    for (const Pipe& p : network_.pipes) {
      Line(p.name,
           {Way(p), Metres("length", p.length), Millimetres("bore", p.bore), Fact("size", p.size)});
    }
    Heading("valves", network_.valves.size());
    for (const Valve& v : network_.valves) {
      Line(v.name, {Way(v), Fact("kind", v.kind), Millimetres("bore", v.bore), Fact("size", v.size),
                    Fact("opening", v.opening)});
    }
    Heading("check valves", network_.check_valves.size());
    for (const CheckValve& v : network_.check_valves) {
      Line(v.name, {Way(v), Fact("kind", v.kind), Millimetres("bore", v.bore), Fact("size", v.size),
                    Fact("condition", v.condition)});
    }
    Heading("pumps", network_.pumps.size());
    for (const Pump& p : network_.pumps) {
      Line(p.name, {Way(p), p.running ? "running" : "stopped", Fact("speed", p.speed)});
    }
    Heading("restrictions", network_.restrictions.size());
    for (const Restriction& r : network_.restrictions) {
      Line(r.name, {Way(r), Fact("k", r.k), PerHour("kv", r.kv), Gpm("cv", r.cv),
                    Bar("rated_drop", r.rated_drop), PerHour("rated_flow", r.rated_flow),
                    Millimetres("bore", r.bore), Fact("size", r.size)});
    }
    Heading("nozzles", network_.nozzles.size());
    for (const Nozzle& n : network_.nozzles) {
      Line(n.name, {n.from + " -> atmosphere", Millimetres("bore", n.bore), Fact("size", n.size),
                    Fact("k", n.k)});
    }
    Heading("regulators", network_.regulators.size());
    for (const Regulator& r : network_.regulators) {
      Line(r.name, {Way(r), Fact("kind", r.kind), Millimetres("bore", r.bore), Fact("size", r.size),
                    Bar("set_pressure", r.set_pressure), PerHour("set_flow", r.set_flow)});
    }
    Heading("relief valves", network_.relief_valves.size());
    for (const ReliefValve& r : network_.relief_valves) {
      Line(r.name, {r.from + " -> " + (r.to.empty() ? "atmosphere" : r.to),
                    Bar("set_pressure", r.set_pressure), PerHour("kv", r.kv), Gpm("cv", r.cv),
                    Fact("area", r.area, Dimension::kArea, "mm2")});
    }
  }

  void ListCases() {
    Heading("cases", network_.cases.size());
    for (const Case& item : network_.cases) {
      text_ += "  " + item.name + (item.note.empty() ? "" : ": " + item.note) + "\n";
      for (const auto& [target, value] : item.set) {
        text_ += "    " + target + " = " + Shown(value) + "\n";
      }
    }
  }

  void Heading(const std::string& what, std::size_t n) {
    if (n > 0) text_ += "\n" + what + "\n";
  }

  template <typename Part>
  static std::string Way(const Part& part) {
    return part.from + " -> " + part.to;
  }

  // Empty for what is not given.
  static std::string Fact(const std::string& property, const std::string& value) {
    return value.empty() ? "" : property + " " + value;
  }
  static std::string Fact(const std::string& property, const std::optional<double>& value,
                          Dimension dimension = Dimension::kNumber, const std::string& unit = "") {
    if (!value) return "";
    char number[32];
    std::snprintf(number, sizeof number, "%.6g", FromSi(*value, dimension, unit));
    return property + " " + number + (unit.empty() ? "" : " " + unit);
  }
  static std::string Metres(const std::string& property, const std::optional<double>& value) {
    return Fact(property, value, Dimension::kLength, "m");
  }
  static std::string Millimetres(const std::string& property, const std::optional<double>& value) {
    return Fact(property, value, Dimension::kLength, "mm");
  }
  static std::string Bar(const std::string& property, const std::optional<double>& value) {
    return Fact(property, value, Dimension::kPressure, "bar");
  }
  static std::string PerHour(const std::string& property, const std::optional<double>& value) {
    return Fact(property, value, Dimension::kFlow, "m3/h");
  }
  static std::string Gpm(const std::string& property, const std::optional<double>& value) {
    return Fact(property, value, Dimension::kFlow, "gpm");
  }

  void Line(const std::string& name, const std::vector<std::string>& facts) {
    std::vector<std::string> given;
    std::copy_if(facts.begin(), facts.end(), std::back_inserter(given),
                 [](const std::string& fact) { return !fact.empty(); });
    text_ += "  " + name + ": " + Joined(given, ", ") + "\n";
  }

  const Network& network_;
  std::string text_;
};

int RunShow(const std::string& file) {
  const Network network = LoadNetwork(file);
  WriteOutput(Overview(network).Text(), "");
  return kOk;
}

}  // namespace

void AddShow(CLI::App& app, Command* chosen) {
  CLI::App* show = app.add_subcommand("show", "What is in the file?");
  const auto file = std::make_shared<std::string>();
  AddFile(show, file.get());
  show->callback([=] { *chosen = [file] { return RunShow(*file); }; });
}

}  // namespace handwheel::shell
