#include "commands.h"
#include "handwheel/units.h"
#include "output.h"

namespace handwheel::shell {
namespace {

int RunUnits() {
  std::string text = "Accepted units; a bare number is in the first.\n";
  for (int i = 0; i <= static_cast<int>(Dimension::kPower); ++i) {
    const auto dimension = static_cast<Dimension>(i);
    const std::string si(SiUnit(dimension));
    text += std::string(DimensionName(dimension)) + ": " + si;
    for (const std::string& unit : UnitsOf(dimension)) {
      if (unit != si) text += " " + unit;
    }
    text += "\n";
  }
  WriteOutput(text, "");
  return kOk;
}

}  // namespace

void AddUnits(CLI::App& app, Command* chosen) {
  CLI::App* units = app.add_subcommand("units", "Which units are understood?");
  units->callback([=] { *chosen = [] { return RunUnits(); }; });
}

}  // namespace handwheel::shell
