#include <algorithm>
#include <memory>

#include "commands.h"
#include "handwheel/errors.h"
#include "handwheel/transient.h"
#include "handwheel/units.h"
#include "json.h"
#include "output.h"
#include "requests.h"
#include "text/suggest.h"

namespace handwheel::shell {
namespace {

struct SimulateRequest {
  PlantRequest plant;
  std::vector<std::string> trips, starts, strokes, faults, of;
  std::string at = "0 s", over = "0 s", duration = "10 s", time_step, record_every;
  std::string columns = "auto";
  double turns = 0.0;
  bool no_cavities = false;
  bool csv = false;
};

double InSeconds(const std::string& text) {
  return ParseQuantity(text, Dimension::kTime);
}

// "P-1" or "P-1@2 s": what happens to which part, and when.
struct WhatWhen {
  std::string what;
  double at;
};

WhatWhen SplitTime(const std::string& text, double at) {
  const auto sign = text.rfind('@');
  if (sign == std::string::npos) return {text, at};
  return {text.substr(0, sign), InSeconds(text.substr(sign + 1))};
}

std::pair<std::string, std::string> SplitEquals(const std::string& text, const char* option,
                                                const char* example) {
  const auto equals = text.rfind('=');
  if (equals == std::string::npos) {
    throw SettingError(std::string(option) + " " + text + ": expected such as " + example);
  }
  return {text.substr(0, equals), text.substr(equals + 1)};
}

std::vector<TransientEvent> EventsOf(const SimulateRequest& request) {
  const double at = InSeconds(request.at), over = InSeconds(request.over);
  std::vector<TransientEvent> events;
  for (const std::string& text : request.trips) {
    const WhatWhen asked = SplitTime(text, at);
    events.push_back(TripPump(asked.what, asked.at));
  }
  for (const std::string& text : request.starts) {
    const WhatWhen asked = SplitTime(text, at);
    events.push_back(StartPump(asked.what, asked.at, over));
  }
  for (const std::string& text : request.strokes) {
    const WhatWhen asked = SplitTime(text, at);
    const auto [valve, opening] = SplitEquals(asked.what, "--stroke", "HV-3=0.2");
    const double reached = ParseQuantity(opening, Dimension::kNumber);
    events.push_back(request.turns > 0.0 ? TurnHandwheel(valve, reached, asked.at, request.turns)
                                         : StrokeValve(valve, reached, asked.at, over));
  }
  for (const std::string& text : request.faults) {
    const WhatWhen asked = SplitTime(text, at);
    const auto [part, condition] = SplitEquals(asked.what, "--fault", "'NRV-1=stuck open'");
    events.push_back(ChangeCondition(part, condition, asked.at));
  }
  return events;
}

TransientOptions TransientOptionsOf(const SimulateRequest& request) {
  TransientOptions options;
  options.duration = InSeconds(request.duration);
  if (!request.time_step.empty()) options.time_step = InSeconds(request.time_step);
  if (!request.record_every.empty()) options.record_every = InSeconds(request.record_every);
  const auto columns = ColumnModelFromName(request.columns);
  if (!columns) {
    throw SettingError("--columns " + request.columns + ";" +
                       Suggest(request.columns, {"auto", "elastic", "rigid", "steady"}));
  }
  options.columns = *columns;
  options.cavities = !request.no_cavities;
  options.steady.callback = UntilInterrupted();
  options.progress = [](double, double) { return !CatchInterrupt::Pressed(); };
  return options;
}

// --- Formats ---

// Names of --of, or everything.
class HistoriesWanted {
 public:
  HistoriesWanted(const SimulateRequest& request, const Network& network)
      : names_(request.of), all_(request.of.empty()) {
    std::vector<std::string> known = network.PointNames();
    for (const std::string& name : network.ComponentNames()) known.push_back(name);
    for (const std::string& name : names_) {
      if (std::find(known.begin(), known.end(), name) != known.end()) continue;
      throw SettingError("--of " + name + ": nothing is called so;" + Suggest(name, known));
    }
  }
  bool Has(const std::string& name) const {
    return all_ || std::find(names_.begin(), names_.end(), name) != names_.end();
  }

 private:
  std::vector<std::string> names_;
  bool all_;
};

std::string HistoriesAsCsv(const Transient& run, const HistoriesWanted& wanted) {
  ResultTable table{.kind = "simulate", .names = {}, .columns = {}};
  for (std::size_t row = 0; row < run.num_rows(); ++row) {
    table.names.push_back(std::to_string(row + 1));
  }
  table.columns.push_back({"time", "s", run.time});
  for (const std::string& name : run.point_names) {
    if (wanted.Has(name)) table.columns.push_back({name, "Pa", run.Pressure(name)});
  }
  for (const std::string& name : run.component_names) {
    if (wanted.Has(name)) table.columns.push_back({name, "m3/s", run.Flow(name)});
  }
  return AsCsv(table);
}

class RunJson {
 public:
  static std::string Text(const Transient& run, const HistoriesWanted& wanted) {
    Json log = Json::array(), slams = Json::array(), extremes = Json::array();
    for (const LogEntry& entry : run.log) {
      log.push_back({{"time", entry.time}, {"name", entry.name}, {"message", entry.message}});
    }
    for (const Slam& slam : run.slams) {
      slams.push_back({{"check_valve", slam.check_valve},
                       {"time", slam.time},
                       {"reverse_velocity", Number(slam.reverse_velocity)},
                       {"rise", Number(slam.rise)}});
    }
    for (const PointExtremes& point : run.extremes) {
      extremes.push_back({{"point", point.name},
                          {"highest", Number(point.highest)},
                          {"highest_at", point.highest_at},
                          {"lowest", Number(point.lowest)},
                          {"lowest_at", point.lowest_at},
                          {"largest_cavity", Number(point.largest_cavity)}});
    }
    Json pressure = Json::object(), flow = Json::object();
    for (const std::string& name : run.point_names) {
      if (wanted.Has(name)) pressure[name] = Numbers(run.Pressure(name));
    }
    for (const std::string& name : run.component_names) {
      if (wanted.Has(name)) flow[name] = Numbers(run.Flow(name));
    }
    const Json report = {{"title", run.network.title},
                         {"units", {{"time", "s"}, {"pressure", "Pa gauge"}, {"flow", "m3/s"}}},
                         {"verdict", run.Verdict()},
                         {"ended_early", run.ended_early},
                         {"num_unsettled_steps", run.num_unsettled_steps},
                         {"assumptions", run.assumptions},
                         {"log", log},
                         {"slams", slams},
                         {"extremes", extremes},
                         {"time", Numbers(run.time)},
                         {"pressure", pressure},
                         {"flow", flow},
                         {"liquid_unaccounted_for", Number(run.balance.error)},
                         {"caution", kCaution}};
    return Dump(report);
  }
};

int RunSimulate(const SimulateRequest& request) {
  const Network network = LoadPlant(request.plant);
  const HistoriesWanted wanted(request, network);
  const TransientOptions options = TransientOptionsOf(request);
  Transient run;
  {
    const CatchInterrupt catch_interrupt;
    run = Simulate(network, EventsOf(request), options);
  }
  if (run.interrupted) return ReportInterrupted();
  WriteOutput(request.plant.json ? RunJson::Text(run, wanted)
              : request.csv      ? HistoriesAsCsv(run, wanted)
                                 : run.Report(),
              request.plant.output);
  return run.time.empty() || run.num_unsettled_steps > 0 ? kNotConverged : kOk;
}

void AddSimulateOptions(CLI::App* simulate, SimulateRequest* request) {
  const auto list = [&](const char* name, std::vector<std::string>* into, const char* what,
                        const char* type) {
    simulate->add_option(name, *into, what)->type_name(type)->expected(1)->take_all();
  };
  AddPlantOptions(simulate, &request->plant);
  list("--trip", &request->trips, "A pump loses its power", "PUMP[@TIME]");
  list("--start", &request->starts, "A pump starts, within --over", "PUMP[@TIME]");
  list("--stroke", &request->strokes, "A valve travels to an opening, within --over",
       "VALVE=OPENING[@TIME]");
  list("--fault", &request->faults, "A part takes on another condition, such as 'NRV-1=stuck open'",
       "PART=CONDITION[@TIME]");
  simulate->add_option("--at", request->at, "When, unless said with @ (0 s)")->type_name("TIME");
  simulate->add_option("--over", request->over, "Time that starts and strokes take (0 s)")
      ->type_name("TIME");
  simulate->add_option("--turns", request->turns,
                       "Turns a second of handwheels, instead of --over");
  simulate->add_option("--duration", request->duration, "How long to go on (10 s)")
      ->type_name("TIME");
  simulate
      ->add_option("--columns", request->columns,
                   "How liquid moves in pipes: auto, elastic, rigid or steady")
      ->type_name("HOW");
  simulate->add_option("--time-step", request->time_step, "Else chosen")->type_name("TIME");
  simulate->add_option("--record-every", request->record_every, "Of --json and --csv")
      ->type_name("TIME");
  simulate->add_flag("--no-cavities", request->no_cavities,
                     "Let pressures fall below that of the vapour");
  list("--of", &request->of, "A point (pressure) or component (flow) for --json and --csv", "NAME");
  auto* json = AddJson(simulate, &request->plant.json);
  json->excludes(AddCsv(simulate, &request->csv));
  AddOutput(simulate, &request->plant.output);
}

}  // namespace

void AddSimulate(CLI::App& app, Command* chosen) {
  CLI::App* simulate = app.add_subcommand(
      "simulate", "What happens after a trip, a stroke or a fault: waves, slams, levels?");
  const auto request = std::make_shared<SimulateRequest>();
  AddSimulateOptions(simulate, request.get());
  simulate->callback([=] { *chosen = [request] { return RunSimulate(*request); }; });
}

}  // namespace handwheel::shell
