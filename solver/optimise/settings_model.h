#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "studies/gauge_model.h"
#include "studies/kept_limits.h"

namespace handwheel {

// A reading that is to stand between two ends: a target, or a limit of the advice.
struct Wish {
  static constexpr int kLimits = 1 << 30;  // the priority that limits have: before all targets

  int priority = 1;                 // higher first
  double lower = 0.0, upper = 0.0;  // SI; infinite: no end
  double size = 1.0;                // above 0: what a miss is measured by
  bool is_limit = false;
  std::size_t index = 0;  // among the targets, or the limits

  // 0 between the ends; below: too little; in parts of the size.
  double Miss(double value) const {
    if (value < lower) return (value - lower) / size;
    if (value > upper) return (value - upper) / size;
    return 0.0;
  }
};

// A plant as a function from the numbers varied to all that is wished for.
class SettingsModel {
 public:
  SettingsModel(const Network& network, std::vector<Varied> varied, std::vector<Gauge> gauges,
                const SteadyOptions& options)
      : model_(network, std::move(varied), std::move(gauges), options) {}

  struct Answer {
    std::optional<Solution> solution;  // empty, with the reason, if there is none
    std::string reason{};
    std::vector<double>
        value{};  // by wish, SI; NaN without a solution, or of a limit that says nothing here
    std::vector<double> slope{};  // d value / d number: wish * num_varied + number
  };

  // First those of targets, by gauge, then those of limits, as LimitsOf() lists them.
  void SetWishes(std::vector<Wish> wishes) {
    wishes_ = std::move(wishes);
    last_.reset();
  }
  const std::vector<Wish>& wishes() const { return wishes_; }

  // `numbers` by what is varied, SI, in its bounds. Remembers the last answer. Without a solution
  // too where a target's gauge shows nothing, as at a point that is shut in.
  const Answer& At(const std::vector<double>& numbers);

  const std::vector<Varied>& varied() const { return model_.varied(); }
  const std::vector<Gauge>& gauges() const { return model_.gauges(); }
  // Told after every solve; false: stop.
  void SetListener(std::function<bool()> listener) { listener_ = std::move(listener); }
  bool interrupted() const { return stopped_ || model_.interrupted(); }
  std::size_t num_solves() const { return num_solves_; }

 private:
  Answer Nothing(std::string reason) const;
  Answer Ask(const std::vector<double>& numbers);
  void AddTargets(const GaugeModel::Answer& from, Answer* answer) const;
  void AddLimits(const GaugeModel::Answer& from, const std::vector<double>& numbers,
                 Answer* answer) const;

  GaugeModel model_;
  std::vector<Wish> wishes_;
  std::vector<double> last_numbers_;
  std::optional<Answer> last_;
  std::function<bool()> listener_;
  bool stopped_ = false;
  std::size_t num_solves_ = 0;
};

}  // namespace handwheel
