#include "handwheel/find_settings.h"

#include <algorithm>
#include <cmath>

#include "handwheel/errors.h"
#include "handwheel/readings.h"
#include "network/draft.h"
#include "optimise/settings_model.h"
#include "optimise/settings_search.h"
#include "optimise/settings_starts.h"
#include "optimise/settings_targets.h"
#include "optimise/settings_words.h"
#include "text/cat.h"

namespace handwheel {
namespace {

constexpr int kMostInVain = 6;       // starts in a row that find nothing nearer end the search
constexpr double kLimitKept = 1e-6;  // a limit missed by less is kept, in parts of its size
// The search solves this much sharper than asked for, so that its differences are no noise.
constexpr double kSharper = 1e-2;

SteadyOptions Sharper(SteadyOptions options) {
  options.method = Method::kNewton;
  options.flow_tolerance *= kSharper;
  options.head_tolerance *= kSharper;
  options.step_tolerance *= kSharper;
  return options;
}

bool IsSerious(const Advice& advice) {
  return advice.severity == "warning" || advice.severity == "danger";
}

std::vector<Advice> NewIn(const std::vector<Advice>& after, const std::vector<Advice>& before) {
  std::vector<Advice> fresh;
  for (const Advice& advice : after) {
    const bool known = std::any_of(before.begin(), before.end(), [&](const Advice& old) {
      return old.component == advice.component && old.kind == advice.kind && IsSerious(old);
    });
    if (IsSerious(advice) && !known) fresh.push_back(advice);
  }
  return fresh;
}

// A copy of the plant as it stands, solved; empty where it has no solution.
std::optional<Solution> SolvePresent(const Network& network, const SteadyOptions& options,
                                     bool* interrupted) {
  try {
    Solution solution = Solve(network, options);
    *interrupted = solution.summary().termination == Termination::kInterrupted;
    if (solution.converged()) return solution;
  } catch (const NetworkError&) {
  }
  return std::nullopt;
}

class Finder {
 public:
  Finder(const Network& network, const std::vector<Vary>& vary,
         const std::vector<GaugeTarget>& targets, const FindSettingsOptions& options)
      : network_(network),
        options_(options),
        targets_(ReadTargets(network, targets)),
        model_(network, ReadVaried(network, vary), GaugesOf(targets_), Sharper(options.steady)) {
    model_.SetListener([this] { return Tell(); });
  }

  FoundSettings Run() {
    found_.title = network_.title;
    present_ = SolvePresent(network_, options_.steady, &found_.interrupted);
    if (present_) found_.advice_before = present_->advice();
    SetWishes();
    Search();
    Describe();
    return std::move(found_);
  }

 private:
  bool Tell() const {
    return !options_.progress || options_.progress(model_.num_solves(), LargestMiss());
  }

  double LargestMiss() const {
    double largest = best_.solved ? 0.0 : std::numeric_limits<double>::infinity();
    for (const double miss : best_.miss) largest = std::max(largest, std::abs(miss));
    return largest;
  }

  void Search() {
    int in_vain = 0;
    for (const std::vector<double>& start :
         SpreadStarts(model_.varied(), options_.max_num_starts)) {
      if (found_.interrupted || in_vain == kMostInVain || ReachesAll(best_)) break;
      ++found_.num_starts;
      SettingsFound from_here = SearchSettings(&model_, start, best_);
      const bool first = found_.num_starts == 1;
      in_vain = first || IsBetter(from_here, best_, false) ? 0 : in_vain + 1;
      if (first || IsBetter(from_here, best_)) best_ = std::move(from_here);
      found_.interrupted = model_.interrupted();
    }
  }

  // Limits are read at the present state, or else at the first start that has one.
  void SetWishes() {
    std::vector<Wish> wishes;
    for (std::size_t t = 0; t < targets_.size(); ++t) wishes.push_back(targets_[t].AsWish(t));
    model_.SetWishes(wishes);
    if (!options_.keep_limits) return;
    if (present_) {
      limits_ = LimitsOf(*present_);
    } else {
      limits_ = LimitsOfFirstSolved();
    }
    for (std::size_t i = 0; i < limits_.size(); ++i) {
      thresholds_.push_back(KeptThreshold(limits_[i]));
      wishes.push_back(LimitAsWish(limits_[i], thresholds_[i], i));
    }
    model_.SetWishes(std::move(wishes));
  }

  std::vector<LimitReading> LimitsOfFirstSolved() {
    for (const std::vector<double>& start :
         SpreadStarts(model_.varied(), options_.max_num_starts)) {
      const SettingsModel::Answer& at = model_.At(start);
      if (!at.solution) continue;
      std::vector<LimitReading> limits = LimitsOf(*at.solution);
      for (LimitReading& limit : limits) limit.value = std::numeric_limits<double>::quiet_NaN();
      return limits;
    }
    return {};
  }

  bool IsReached(const SettingsFound& at, std::size_t target) const {
    return std::abs(at.miss[target]) * targets_[target].size <= targets_[target].tolerance;
  }

  bool ReachesAll(const SettingsFound& at) const {
    if (!at.solved) return false;
    for (std::size_t t = 0; t < targets_.size(); ++t) {
      if (!IsReached(at, t)) return false;
    }
    for (std::size_t w = targets_.size(); w < at.miss.size(); ++w) {
      if (std::abs(at.miss[w]) > kLimitKept) return false;
    }
    return true;
  }

  void Describe() {
    if (!best_.solved) {
      DescribeFailure();
      return;
    }
    for (std::size_t i = 0; i < model_.varied().size(); ++i) AddSetting(i);
    SolveThere();
    for (std::size_t t = 0; t < targets_.size(); ++t) AddTarget(t);
    found_.reached = std::all_of(found_.targets.begin(), found_.targets.end(),
                                 [](const FoundTarget& target) { return target.reached; });
    for (const Pull& pull : best_.pulls) AddBinding(pull);
    AddCautions();
    found_.num_solves = model_.num_solves() + 1;
    found_.verdict = VerdictOf(found_);
  }

  void DescribeFailure() {
    found_.num_solves = model_.num_solves();
    if (found_.interrupted) return;
    found_.verdict = Cat("No answer: the plant has no solution from any of ",
                         std::to_string(found_.num_starts), " starts. ", best_.reason);
  }

  void AddSetting(std::size_t i) {
    const Varied& varied = model_.varied()[i];
    const double value = best_.numbers[i];
    FoundSetting setting{.target = varied.target,
                         .value = value,
                         .present = varied.present,
                         .lower = varied.lower,
                         .upper = varied.upper,
                         .at_lower = value <= varied.lower,
                         .at_upper = value >= varied.upper,
                         .text = VariedText(varied, value),
                         .present_text = VariedText(varied, varied.present)};
    const Target parts = SplitTarget(varied.target);
    for (const Valve& valve : network_.valves) {
      if (valve.name != parts.component || parts.property != "opening") continue;
      AddTurns(valve, &setting);
    }
    found_.settings.push_back(std::move(setting));
  }

  // A valve sized by its Kv alone tells no turns.
  static void AddTurns(const Valve& valve, FoundSetting* setting) {
    try {
      setting->turns_of_travel = TurnsOfTravel(valve);
      setting->turns = TurnsFromOpening(valve, setting->value);
      setting->present_turns = TurnsFromOpening(valve, setting->present);
    } catch (const NetworkError&) {
    }
  }

  void AddTarget(std::size_t t) {
    const ReadTarget& target = targets_[t];
    const double value =
        found_.solution ? ReadGauge(target.gauge, *found_.solution) : best_.value[t];
    FoundTarget found{.gauge = target.gauge.name,
                      .lower = target.lower,
                      .upper = target.upper,
                      .priority = target.priority,
                      .tolerance = target.tolerance,
                      .value = value,
                      .miss = target.AsWish(t).Miss(value) * target.size,
                      .reached = false,
                      .wanted = WantedText(target.gauge, target.lower, target.upper)};
    if (present_) found.present = ReadGauge(target.gauge, *present_);
    found.reached = std::abs(found.miss) <= target.tolerance;
    found.value_text = GaugeText(target.gauge, found.value);
    found.present_text =
        std::isnan(found.present) ? "none" : GaugeText(target.gauge, found.present);
    found.miss_text = GaugeText(target.gauge, std::abs(found.miss));
    found_.targets.push_back(std::move(found));
  }

  void AddBinding(const Pull& pull) {
    for (const std::size_t w : pull.missed) {
      if (w >= targets_.size() || found_.targets[w].reached) continue;
      const std::string& gauge = found_.targets[w].gauge;
      const std::size_t before = found_.binding.size();
      if (pull.no_effect) {
        Bind(gauge, "no effect", gauge, Cat("nothing that is varied moves ", gauge, " from here"));
        continue;
      }
      for (const std::size_t i : pull.at_bound) {
        const FoundSetting& setting = found_.settings[i];
        Bind(gauge, "bound", setting.target, AtEndInWords(setting));
      }
      for (const std::size_t other : pull.against) BindAgainst(gauge, other);
      if (pull.conflict) {
        Bind(gauge, "conflict", "",
             "the targets of one priority pull against each other, and a priority would decide");
      }
      if (found_.binding.size() == before) {
        Bind(gauge, "turning point", gauge,
             Cat(gauge, " is at its turning point: moved either way, it misses by more"));
      }
    }
  }

  void BindAgainst(const std::string& gauge, std::size_t wish) {
    if (wish < targets_.size()) {
      Bind(gauge, "priority", targets_[wish].gauge.name,
           ComesFirstInWords(found_.targets[wish], targets_[wish].gauge));
      return;
    }
    const std::size_t limit = wish - targets_.size();
    Bind(gauge, "advice", limits_[limit].part, BeyondInWords(limits_[limit], thresholds_[limit]));
  }

  void Bind(const std::string& target, const char* kind, const std::string& name,
            std::string message) {
    found_.binding.push_back({target, kind, name, std::move(message)});
  }

  // As a caller would solve it, with the options given.
  void SolveThere() {
    Network there = network_;
    there.Apply(found_.ToSettings());
    bool interrupted = false;
    SteadyOptions options = options_.steady;
    options.callback = {};
    found_.solution = SolvePresent(there, options, &interrupted);
    if (!found_.solution) return;
    found_.advice_after = found_.solution->advice();
    found_.new_advice = NewIn(found_.advice_after, found_.advice_before);
  }

  void AddCautions() {
    const auto add = [&](std::string text) { found_.cautions.push_back(std::move(text)); };
    if (best_.some_choice && found_.reached) {
      add("More is varied than the targets fix: of the settings that do, these change least from "
          "the present ones, each measured by its room.");
    }
    if (!found_.reached) {
      add("The nearest of all starts, not a proof: another answer may exist where flows do not "
          "follow settings one way.");
    }
    if (!options_.keep_limits) add("The limits that the advice watches were not kept to.");
    const bool wheel =
        std::any_of(found_.settings.begin(), found_.settings.end(),
                    [](const FoundSetting& setting) { return !std::isnan(setting.turns); });
    if (wheel) {
      add("A valve's curve is off by 10 to 20 % unless the file has its maker's: turn in small "
          "steps and watch the gauges.");
    }
  }

  const Network& network_;
  const FindSettingsOptions& options_;
  const std::vector<ReadTarget> targets_;
  SettingsModel model_;
  std::optional<Solution> present_;
  std::vector<LimitReading> limits_;
  std::vector<double> thresholds_;  // by limit
  SettingsFound best_;
  FoundSettings found_;
};

}  // namespace

bool FindSettingsOptions::IsValid(std::string* error) const {
  if (max_num_starts < 1 || max_num_starts > 10'000) {
    *error = Cat("max_num_starts is ", std::to_string(max_num_starts),
                 "; expected a number from 1 to 10000");
    return false;
  }
  return steady.IsValid(error);
}

FoundSettings FindSettings(const Network& network, const std::vector<Vary>& vary,
                           const std::vector<GaugeTarget>& targets,
                           const FindSettingsOptions& options) {
  std::string error;
  if (!options.IsValid(&error)) throw SettingError("options: " + error);
  network.Validate();
  return Finder(network, vary, targets, options).Run();
}

}  // namespace handwheel
