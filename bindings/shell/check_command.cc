#include <memory>

#include "commands.h"
#include "handwheel/file.h"
#include "output.h"
#include "requests.h"

namespace handwheel::shell {
namespace {

std::string Counts(const Network& network) {
  return Count(network.vessels.size(), "vessel") + ", " +
         Count(network.junctions.size(), "junction") + ", " + Count(network.pipes.size(), "pipe") +
         ", " + Count(network.valves.size(), "valve") + ", " +
         Count(network.check_valves.size(), "check valve") + ", " +
         Count(network.pumps.size(), "pump") + ", " +
         Count(network.restrictions.size(), "restriction") + ", " +
         Count(network.nozzles.size(), "nozzle") + ", " +
         Count(network.regulators.size(), "regulator") + ", " +
         Count(network.relief_valves.size(), "relief valve");
}

int RunCheck(const std::string& file) {
  const Network network = LoadNetwork(file);
  std::string text = file + ": no mistake found\n  " + Counts(network) + "\n";
  for (const Case& item : network.cases) text += "  case \"" + item.name + "\"\n";
  WriteOutput(text, "");
  return kOk;
}

}  // namespace

void AddCheck(CLI::App& app, Command* chosen) {
  CLI::App* check = app.add_subcommand("check", "Is the file in order?");
  const auto file = std::make_shared<std::string>();
  AddFile(check, file.get());
  check->callback([=] { *chosen = [file] { return RunCheck(*file); }; });
}

}  // namespace handwheel::shell
