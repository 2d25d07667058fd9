#include <iostream>
#include <memory>

#include "commands.h"
#include "handwheel/errors.h"
#include "handwheel/find_settings.h"
#include "json.h"
#include "output.h"
#include "requests.h"

namespace handwheel::shell {
namespace {

struct SettingsRequest {
  PlantRequest plant;
  std::vector<std::string> vary;                      // "HV-3.opening", "HV-3.opening=0.1:0.8"
  std::vector<std::string> exact, at_least, at_most;  // "L-4.flow=12 m3/h"
  std::vector<std::string> priorities, tolerances;    // "L-5.flow=2"
  bool ignore_limits = false;
  int max_num_starts = FindSettingsOptions{}.max_num_starts;
};

#ifdef HANDWHEEL_OPTIMISE

std::pair<std::string, std::string> SplitAtEquals(const std::string& option,
                                                  const std::string& text) {
  const auto equals = text.find('=');
  if (equals == std::string::npos || equals == 0 || equals + 1 == text.size()) {
    throw SettingError(option + " " + text + ": expected such as " +
                       (option == "--priority" ? "L-5.flow=2" : "L-4.flow=\"12 m3/h\"") + ".");
  }
  return {text.substr(0, equals), text.substr(equals + 1)};
}

// An end may be left out, "0.1:", and a unit behind the second serves both: "1:3 m".
Vary ParseVary(const std::string& text) {
  const auto equals = text.find('=');
  if (equals == std::string::npos) return {text};
  const std::string range = text.substr(equals + 1);
  const auto colon = range.find(':');
  if (colon == std::string::npos) {
    throw SettingError("--vary " + text + ": expected bounds such as 0.1:0.8 after the =.");
  }
  std::string low = range.substr(0, colon), high = range.substr(colon + 1);
  const auto unit = high.find(' ');
  if (unit != std::string::npos && !low.empty() && low.find(' ') == std::string::npos) {
    low += high.substr(unit);
  }
  return {text.substr(0, equals), ParseValue(low), ParseValue(high)};
}

class TargetReader {
 public:
  explicit TargetReader(const SettingsRequest& request) {
    for (const auto& text : request.exact) Exact(text);
    for (const auto& text : request.at_least) {
      const auto [gauge, value] = SplitAtEquals("--at-least", text);
      Of(gauge)->lower = ParseValue(value);
    }
    for (const auto& text : request.at_most) {
      const auto [gauge, value] = SplitAtEquals("--at-most", text);
      Of(gauge)->upper = ParseValue(value);
    }
    for (const auto& text : request.priorities) Priority(text);
    for (const auto& text : request.tolerances) {
      const auto [gauge, value] = SplitAtEquals("--tolerance", text);
      Known("--tolerance", gauge)->tolerance = ParseValue(value);
    }
  }

  std::vector<GaugeTarget> Take() { return std::move(targets_); }

 private:
  void Exact(const std::string& text) {
    const auto [gauge, value] = SplitAtEquals("--target", text);
    GaugeTarget* target = Of(gauge);
    target->lower = target->upper = ParseValue(value);
  }

  void Priority(const std::string& text) {
    const auto [gauge, value] = SplitAtEquals("--priority", text);
    int priority = 0;
    if (!CLI::detail::lexical_cast(value, priority)) {
      throw SettingError("--priority " + text + ": expected a whole number after the =.");
    }
    Known("--priority", gauge)->priority = priority;
  }

  GaugeTarget* Of(const std::string& gauge) {
    for (GaugeTarget& target : targets_) {
      if (target.gauge == gauge) return &target;
    }
    targets_.push_back({.gauge = gauge});
    return &targets_.back();
  }

  GaugeTarget* Known(const std::string& option, const std::string& gauge) {
    for (GaugeTarget& target : targets_) {
      if (target.gauge == gauge) return &target;
    }
    throw SettingError(option + " " + gauge + ": no target is set for it.");
  }

  std::vector<GaugeTarget> targets_;
};

class SettingsJson {
 public:
  static std::string Text(const FoundSettings& found) {
    Json settings = Json::array(), targets = Json::array(), binding = Json::array();
    for (const FoundSetting& setting : found.settings) settings.push_back(Of(setting));
    for (const FoundTarget& target : found.targets) targets.push_back(Of(target));
    for (const BindingLimit& limit : found.binding) {
      binding.push_back({{"target", limit.target},
                         {"kind", limit.kind},
                         {"name", limit.name},
                         {"message", limit.message}});
    }
    const Json report = {{"title", found.title},
                         {"verdict", found.verdict},
                         {"reached", found.reached},
                         {"units", "SI"},
                         {"settings", settings},
                         {"targets", targets},
                         {"binding", binding},
                         {"new_advice", Of(found.new_advice)},
                         {"advice_before", Of(found.advice_before)},
                         {"advice_after", Of(found.advice_after)},
                         {"num_solves", found.num_solves},
                         {"num_starts", found.num_starts},
                         {"cautions", found.cautions},
                         {"caution", kCaution}};
    return Dump(report);
  }

 private:
  static Json Of(const FoundSetting& setting) {
    return {{"target", setting.target},
            {"value", setting.value},
            {"present", setting.present},
            {"lower", Number(setting.lower)},
            {"upper", Number(setting.upper)},
            {"text", setting.text},
            {"turns", Number(setting.turns)},
            {"present_turns", Number(setting.present_turns)},
            {"turns_of_travel", Number(setting.turns_of_travel)}};
  }

  static Json Of(const FoundTarget& target) {
    return {{"gauge", target.gauge},         {"wanted", target.wanted},
            {"lower", Number(target.lower)}, {"upper", Number(target.upper)},
            {"priority", target.priority},   {"tolerance", target.tolerance},
            {"value", Number(target.value)}, {"present", Number(target.present)},
            {"miss", Number(target.miss)},   {"reached", target.reached}};
  }

  static Json Of(const std::vector<Advice>& findings) {
    Json list = Json::array();
    for (const Advice& advice : findings) {
      list.push_back({{"component", advice.component},
                      {"kind", advice.kind},
                      {"severity", advice.severity},
                      {"message", advice.message},
                      {"check", advice.check}});
    }
    return list;
  }
};

FoundSettings FindUntilInterrupted(const SettingsRequest& request) {
  std::vector<Vary> vary;
  for (const std::string& text : request.vary) vary.push_back(ParseVary(text));
  const std::vector<GaugeTarget> targets = TargetReader(request).Take();
  FindSettingsOptions options;
  options.keep_limits = !request.ignore_limits;
  options.max_num_starts = request.max_num_starts;
  const Network network = LoadPlant(request.plant);
  const CatchInterrupt catch_interrupt;
  options.steady.callback = UntilInterrupted();
  return FindSettings(network, vary, targets, options);
}

int RunSettings(const SettingsRequest& request) {
  const FoundSettings found = FindUntilInterrupted(request);
  if (found.interrupted) return ReportInterrupted();
  WriteOutput(request.plant.json ? SettingsJson::Text(found) : found.Report(),
              request.plant.output);
  if (found.reached) return kOk;
  std::cerr << "handwheel: not every target is reached\n";
  return kNotReached;
}

#else

int RunSettings(const SettingsRequest&) {
  throw Error("settings needs Ceres Solver, which this handwheel was built without.");
}

#endif

CLI::Option* AddTexts(CLI::App* verb, const std::string& option, std::vector<std::string>* texts,
                      const std::string& help, const std::string& form) {
  return verb->add_option(option, *texts, help)->type_name(form)->expected(1)->take_all();
}

}  // namespace

void AddSettingsVerb(CLI::App& app, Command* chosen) {
  CLI::App* verb = app.add_subcommand(
      "settings", "Which openings, speeds or levels reach a flow or a pressure?");
  const auto request = std::make_shared<SettingsRequest>();
  AddPlantOptions(verb, &request->plant);
  AddTexts(verb, "--vary", &request->vary,
           "What may be changed, perhaps within bounds: HV-3.opening=0.1:0.8", "TARGET[=LOW:HIGH]")
      ->required();
  AddTexts(verb, "--target", &request->exact, "What a gauge is to show: L-4.flow=\"12 m3/h\"",
           "GAUGE=VALUE");
  AddTexts(verb, "--at-least", &request->at_least, "What it is to show at least", "GAUGE=VALUE");
  AddTexts(verb, "--at-most", &request->at_most, "What it is to show at most", "GAUGE=VALUE");
  AddTexts(verb, "--priority", &request->priorities,
           "Of a target, 1 unless given; a higher one is met first", "GAUGE=NUMBER");
  AddTexts(verb, "--tolerance", &request->tolerances,
           "A miss that counts as reached, 0.1 % unless given", "GAUGE=VALUE");
  verb->add_flag("--ignore-limits", request->ignore_limits,
                 "Let the advice get worse: valves cavitate, check valves flutter, ...");
  verb->add_option("--starts", request->max_num_starts, "Points to search from at most")
      ->capture_default_str();
  AddAnswerOptions(verb, &request->plant);
  verb->callback([=] { *chosen = [request] { return RunSettings(*request); }; });
}

}  // namespace handwheel::shell
