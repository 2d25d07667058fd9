#include <cstdio>
#include <iostream>
#include <memory>

#include "commands.h"
#include "handwheel/sensitivity.h"
#include "json.h"
#include "output.h"
#include "requests.h"

namespace handwheel::shell {
namespace {

struct SensitivitiesRequest {
  PlantRequest plant;
  std::vector<std::string> targets;
};

Json Named(const std::vector<std::string>& names, const std::vector<double>& values) {
  Json object = Json::object();
  for (std::size_t i = 0; i < names.size(); ++i) {
    object[names[i]] = Number(values[i]);
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
  return Dump(report);
}

int RunSensitivities(const SensitivitiesRequest& request) {
  const Sensitivities found = ComputeSensitivities(LoadPlant(request.plant), request.targets);
  if (!found.solution.converged()) {
    std::cerr << "handwheel: not converged: " << found.solution.summary().message << "\n";
    return kNotConverged;
  }
  WriteOutput(
      request.plant.json ? AsJsonText(found) : found.Report() + "\n" + std::string(kCaution) + "\n",
      request.plant.output);
  return kOk;
}

}  // namespace

void AddSensitivities(CLI::App& app, Command* chosen) {
  CLI::App* verb = app.add_subcommand(
      "sensitivities", "How does every flow follow an opening, a level, a draw, a roughness?");
  const auto request = std::make_shared<SensitivitiesRequest>();
  AddPlantOptions(verb, &request->plant);
  verb->add_option("TARGET", request->targets, "Numeric properties, such as HV-3.opening")
      ->required();
  AddAnswerOptions(verb, &request->plant);
  verb->callback([=] { *chosen = [request] { return RunSensitivities(*request); }; });
}

}  // namespace handwheel::shell
