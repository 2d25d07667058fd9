#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "studies/gauge.h"
#include "studies/varied.h"

namespace handwheel {

// A plant as a function: from the numbers that are varied to what its gauges show, with the exact
// derivatives.
class GaugeModel {
 public:
  GaugeModel(Network network, std::vector<Varied> varied, std::vector<Gauge> gauges,
             const SteadyOptions& options);

  struct Answer {
    std::optional<Solution> solution;  // empty, with the reason, if there is none
    std::string reason{};
    std::vector<double> value{};  // by gauge, SI
    // d value / d number, by gauge, then by what is varied: gauge * num_varied + number.
    std::vector<double> slope{};
    std::vector<Sensitivity> by_number{};  // of everything, by what is varied
  };

  // `numbers` by what is varied, SI, in its bounds. Solves from the flows of the last answer, and
  // afresh where that does not converge. Throws SettingError for numbers that contradict others.
  Answer At(std::span<const double> numbers);

  const Network& network() const { return network_; }  // with the numbers of the last answer
  const std::vector<Varied>& varied() const { return varied_; }
  const std::vector<Gauge>& gauges() const { return gauges_; }
  bool interrupted() const { return interrupted_; }  // by the callback of the options

 private:
  Sensitivities SolveFrom(const std::vector<double>& flow);
  void Read(const Sensitivities& found, Answer* answer) const;

  Network network_;
  std::vector<Varied> varied_;
  std::vector<Gauge> gauges_;
  std::vector<std::string> targets_;
  SteadyOptions options_;
  std::vector<double> first_flow_, last_flow_;  // [m³/s]
  bool interrupted_ = false;
};

}  // namespace handwheel
