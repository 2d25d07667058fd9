#include "handwheel/isolate.h"

#include <iostream>
#include <memory>

#include "commands.h"
#include "json.h"
#include "output.h"
#include "requests.h"

namespace handwheel::shell {
namespace {

struct IsolateRequest {
  PlantRequest plant;
  std::vector<std::string> target, shut, exclude;
  int max_sets = IsolateOptions().max_sets;
};

// The answers as JSON.
class IsolateJson {
 public:
  static std::string Text(const Isolation& isolation, const std::string& case_name) {
    Json sets = Json::array();
    for (const IsolatingSet& set : isolation.sets) sets.push_back(Set(set));
    return Dump({{"case", case_name},
                 {"target", isolation.target},
                 {"verdict", isolation.verdict},
                 {"possible", isolation.possible},
                 {"open_paths", Paths(isolation.open_paths)},
                 {"with_blanks", isolation.with_blanks ? Set(*isolation.with_blanks) : Json()},
                 {"sets", sets},
                 {"all_sets_listed", isolation.all_sets_listed},
                 {"not_counted", Reasons(isolation.not_counted)},
                 {"steps", isolation.steps},
                 {"units", Units()},
                 {"present_state", isolation.present_state},
                 {"cautions", isolation.cautions}});
  }

  static std::string Text(const IsolationCheck& check, const std::string& case_name) {
    Json leaks = Json::array();
    for (const LeakEstimate& leak : check.leaks) {
      leaks.push_back({{"passing", leak.passing},
                       {"solved", leak.solved},
                       {"message", leak.message},
                       {"flow", Number(leak.flow)},
                       {"pressure", Number(leak.pressure)},
                       {"at", leak.at}});
    }
    return Dump({{"case", case_name},
                 {"target", check.target},
                 {"shut", check.shut},
                 {"verdict", check.verdict},
                 {"isolates", check.isolates},
                 {"open_paths", Paths(check.open_paths)},
                 {"not_counted", Reasons(check.not_counted)},
                 {"unneeded", check.unneeded},
                 {"boundary", Boundary(check.boundary)},
                 {"zone", Zone(check.zone)},
                 {"vent", check.vent},
                 {"leaks", leaks},
                 {"units", Units()},
                 {"present_state", check.present_state},
                 {"cautions", check.cautions}});
  }

 private:
  static Json Units() {
    return {{"head", "m"},
            {"elevation", "m"},
            {"pressure", "Pa gauge"},
            {"flow", "m3/s"},
            {"volume", "m3"}};
  }

  static Json Paths(const std::vector<OpenPath>& paths) {
    Json list = Json::array();
    for (const OpenPath& path : paths) {
      list.push_back({{"source", path.source}, {"kind", path.kind}, {"through", path.through}});
    }
    return list;
  }

  static Json Reasons(const std::vector<NotCounted>& parts) {
    Json list = Json::array();
    for (const NotCounted& part : parts) {
      list.push_back({{"component", part.component}, {"kind", part.kind}, {"reason", part.reason}});
    }
    return list;
  }

  static Json Set(const IsolatingSet& set) {
    return {{"valves", set.valves},
            {"blanks", set.blanks},
            {"boundary", Boundary(set.boundary)},
            {"zone", Zone(set.zone)}};
  }

  static Json Boundary(const std::vector<BoundaryValve>& boundary) {
    Json list = Json::array();
    for (const BoundaryValve& valve : boundary) {
      Json sources = Json::array();
      for (const PressureSource& source : valve.sources) {
        sources.push_back({{"name", source.name},
                           {"kind", source.kind},
                           {"head", Number(source.head)},
                           {"pressure", Number(source.pressure)},
                           {"running", source.running},
                           {"direct", source.direct},
                           {"open_now", source.open_now}});
      }
      list.push_back({{"valve", valve.valve},
                      {"outer_point", valve.outer_point},
                      {"opening", valve.opening},
                      {"pressure", Number(valve.pressure)},
                      {"sources", sources},
                      {"single", valve.single},
                      {"second_valves", valve.second_valves},
                      {"second_are_shut", valve.second_are_shut},
                      {"bleeds", valve.bleeds}});
    }
    return list;
  }

  static Json Zone(const IsolatedZone& zone) {
    Json pockets = Json::array();
    for (const Pocket& pocket : zone.pockets) {
      Json drains = Json::array();
      for (const Drain& drain : pocket.drains) {
        drains.push_back({{"nozzle", drain.nozzle},
                          {"elevation", drain.elevation},
                          {"opened_by", drain.opened_by}});
      }
      pockets.push_back({{"points", pocket.points},
                         {"lowest", pocket.lowest},
                         {"highest", pocket.highest},
                         {"lowest_elevation", pocket.lowest_elevation},
                         {"highest_elevation", pocket.highest_elevation},
                         {"trapped_head", Number(pocket.trapped_head)},
                         {"trapped_pressure", Number(pocket.trapped_pressure)},
                         {"volume", pocket.volume},
                         {"drains", drains}});
    }
    return {{"points", zone.points},   {"components", zone.components}, {"pumps", zone.pumps},
            {"vessels", zone.vessels}, {"draws", zone.draws},           {"volume", zone.volume},
            {"pockets", pockets}};
  }
};

IsolateOptions OptionsOf(const IsolateRequest& request) {
  IsolateOptions options;
  options.max_sets = request.max_sets;
  options.exclude = request.exclude;
  options.steady.callback = UntilInterrupted();
  return options;
}

template <typename Answer>
int WriteAnswer(const Answer& answer, const IsolateRequest& request) {
  if (CatchInterrupt::Pressed()) return ReportInterrupted();
  const PlantRequest& plant = request.plant;
  const std::string heading = plant.case_name.empty() ? "" : "case: " + plant.case_name + "\n";
  WriteOutput(plant.json ? IsolateJson::Text(answer, plant.case_name) : heading + answer.Report(),
              plant.output);
  return kOk;
}

int RunIsolate(const IsolateRequest& request) {
  const CatchInterrupt catch_interrupt;
  return WriteAnswer(Isolate(LoadPlant(request.plant), request.target, OptionsOf(request)),
                     request);
}

// A list that does not isolate is an answer, and yet no success for a script that asks.
int RunVerify(const IsolateRequest& request) {
  const CatchInterrupt catch_interrupt;
  const IsolationCheck check =
      VerifyIsolation(LoadPlant(request.plant), request.target, request.shut, OptionsOf(request));
  const int written = WriteAnswer(check, request);
  return written == kOk && !check.isolates ? kNotIsolated : written;
}

void AddCommon(CLI::App* verb, IsolateRequest* request) {
  AddPlantOptions(verb, &request->plant);
  verb->add_option("TARGET", request->target, "Components or points to be worked on")->required();
  AddValveNames(verb, "--exclude", &request->exclude, "Valves not to be counted");
  AddAnswerOptions(verb, &request->plant);
}

}  // namespace

void AddIsolate(CLI::App& app, Command* chosen) {
  CLI::App* isolate =
      app.add_subcommand("isolate", "Which valves must be shut to work on this, and what is left?");
  const auto request = std::make_shared<IsolateRequest>();
  AddCommon(isolate, request.get());
  isolate->add_option("--max-sets", request->max_sets, "Alternatives to give")
      ->check(CLI::PositiveNumber)
      ->capture_default_str();
  isolate->callback([=] { *chosen = [request] { return RunIsolate(*request); }; });
}

void AddVerify(CLI::App& app, Command* chosen) {
  CLI::App* verify =
      app.add_subcommand("verify", "Do these valves isolate this, and what if they pass?");
  const auto request = std::make_shared<IsolateRequest>();
  AddCommon(verify, request.get());
  AddValveNames(verify, "--shut", &request->shut, "Valves to be shut")->required();
  verify->callback([=] { *chosen = [request] { return RunVerify(*request); }; });
}

}  // namespace handwheel::shell
