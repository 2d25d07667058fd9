#include <cmath>
#include <cstdio>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "commands.h"
#include "handwheel/file.h"
#include "handwheel/sensitivity.h"
#include "output.h"
#include "requests.h"

namespace handwheel::shell {
namespace {

using Json = nlohmann::ordered_json;

struct SensitivitiesRequest {
  std::string file, case_name, output;
  std::vector<std::string> targets, settings;
  bool json = false;
};

Json Named(const std::vector<std::string>& names, const std::vector<double>& values) {
  Json object = Json::object();
  for (std::size_t i = 0; i < names.size(); ++i) {
    object[names[i]] = std::isfinite(values[i]) ? Json(values[i]) : Json(nullptr);
  }
  return object;
}

std::string AsJsonText(const Sensitivities& found) {
  Json report = {{"title", found.solution.network().title},
                 {"converged", found.solution.converged()},
                 {"units", "SI, per SI unit of the setting"},
                 {"sensitivities", Json::array()}};
  for (const Sensitivity& one : found.by_target) {
    report["sensitivities"].push_back(
        {{"target", one.target},
         {"value", one.value},
         {"flow", Named(found.solution.component_names(), one.flow)},
         {"velocity", Named(found.solution.component_names(), one.velocity)},
         {"drop", Named(found.solution.component_names(), one.drop)},
         {"head", Named(found.solution.point_names(), one.head)},
         {"pressure", Named(found.solution.point_names(), one.pressure)}});
  }
  report["caution"] = kCaution;
  return report.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

int RunSensitivities(const SensitivitiesRequest& request) {
  const Settings settings = ParseSettings(request.settings);
  Network network = LoadNetwork(request.file);
  if (!request.case_name.empty()) network.ApplyCase(request.case_name);
  network.Apply(settings);
  const Sensitivities found = ComputeSensitivities(network, request.targets);
  if (!found.solution.converged()) {
    std::cerr << "handwheel: not converged: " << found.solution.summary().message << "\n";
    return kNotConverged;
  }
  WriteOutput(
      request.json ? AsJsonText(found) : found.Report() + "\n" + std::string(kCaution) + "\n",
      request.output);
  return kOk;
}

}  // namespace

void AddSensitivities(CLI::App& app, Command* chosen) {
  CLI::App* verb = app.add_subcommand(
      "sensitivities", "How does every flow follow an opening, a level, a draw, a roughness?");
  const auto request = std::make_shared<SensitivitiesRequest>();
  verb->add_option("FILE", request->file, "Network file (TOML)")->required();
  verb->add_option("TARGET", request->targets, "Numeric properties, such as HV-3.opening")
      ->required();
  verb->add_option("--case", request->case_name, "Apply a case of the file first")
      ->type_name("NAME");
  verb->add_option("--set", request->settings, "Apply a setting, such as HV-3.opening=0.4")
      ->type_name("COMPONENT.PROPERTY=VALUE")
      ->expected(1)
      ->take_all();
  verb->add_flag("--json", request->json, "Everything as JSON, in SI");
  verb->add_option("-o,--output", request->output, "Write to this file instead of the screen");
  verb->callback([=] { *chosen = [request] { return RunSensitivities(*request); }; });
}

}  // namespace handwheel::shell
