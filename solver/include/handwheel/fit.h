#pragma once

#include <functional>
#include <limits>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "handwheel/network.h"
#include "handwheel/steady.h"
#include "handwheel/units.h"
#include "handwheel/vary.h"

// Field readings explained: what roughness, opening, blockage, K or draw makes the model show what
// the gauges show? In the library handwheel_optimise.

namespace handwheel {

// What one gauge read, in one state of the plant.
struct Measurement {
  std::string gauge{};  // "L-4.flow", "header.pressure", "HV-3.drop"
  Value value{};        // SI, or text with a unit: "14.2 m3/h"
  // One standard deviation, SI or text: "0.05 bar", or "2 %" of the reading. Half of what a maker
  // calls the 95 % limit. Empty: FitOptions::default_uncertainty.
  Value uncertainty = std::string{};
  // How the plant stood: a case of the network, then settings.
  std::string case_name{};
  Settings settings{};
};

// One number to be found. Several targets share it: one roughness for all the old pipes.
struct FitUnknown {
  FitUnknown(std::string target) : targets{std::move(target)} {}
  FitUnknown(const char* target) : targets{target} {}
  FitUnknown(std::vector<std::string> several, Value low = std::string{},
             Value high = std::string{})
      : targets(std::move(several)), lower(std::move(low)), upper(std::move(high)) {}
  FitUnknown(const Vary& vary) : targets{vary.target}, lower(vary.lower), upper(vary.upper) {}

  std::vector<std::string> targets{};                  // "L-1.roughness"
  Value lower = std::string{}, upper = std::string{};  // as of Vary
};

enum class FitLoss {
  kSquares,
  // Readings further off than twice their uncertainty weigh in proportion, not squared (Huber). Of
  // normal errors it wastes 1 %, and one wild gauge bends the answer only so far.
  kHuber,
};

// Told after every step of a search.
struct FitNews {
  int start = 0, num_starts = 0;  // from 1
  int num_solves = 0;
  double chi_square = 0.0;  // the least so far, with the uncertainties assumed
};

struct FitOptions {
  // Of readings that state none: this share of the largest reading of that kind (flow, pressure,
  // ...), as gauges are classed by their range (common practice, no source).
  double default_uncertainty = 0.02;
  FitLoss loss = FitLoss::kHuber;
  double confidence = 0.95;  // of the intervals
  // Searches: one from the plant as it stands, the others spread evenly and always alike over the
  // bounds. The best counts; where others end elsewhere and as well, the answer says so.
  int num_starts = 5;
  // A search stops when the sum of squares changes by less than 1e-11 of itself, or the numbers by
  // less than 1e-10 of theirs.
  int max_num_iterations = 100;
  SteadyOptions steady{.flow_tolerance = 1e-11, .head_tolerance = 1e-9, .step_tolerance = 1e-11};
  std::function<bool(const FitNews&)> progress{};  // false: stop. May be empty.

  bool IsValid(std::string* error) const;  // *error: the field, its value, the rule it breaks
};

// One number found, SI.
struct FittedNumber {
  std::vector<std::string> targets{};
  Dimension dimension = Dimension::kNumber;
  std::string file_unit{};  // that files write it in, "mm"; empty of a mere number
  double before = 0.0;      // as the plant stands; of several targets their mean
  double value = 0.0;
  // Where it lies with `confidence`. Of what is found by its logarithm (roughness, kv, cv, leak_kv,
  // vent_kv) it is not symmetric. Cut off at the bounds; at a bound, from there to the limit
  // one-sided. NaN if no gauge tells it.
  double lower = std::numeric_limits<double>::quiet_NaN();
  double upper = std::numeric_limits<double>::quiet_NaN();
  double standard_error = std::numeric_limits<double>::quiet_NaN();  // of ln x if logarithmic
  double lower_bound = 0.0, upper_bound = 0.0;  // infinite where nothing ends it
  bool logarithmic = false;
  bool at_bound = false;
  bool identifiable = true;  // false: see FitResult::unclear
  bool changed = false;      // `before` lies outside the interval

  std::string Name() const;                // targets with commas between
  std::string InUnit(double value) const;  // "0.45 mm"
};

// What one reading says, before and after.
struct FittedReading {
  std::string gauge{};
  Dimension dimension = Dimension::kFlow;
  std::size_t state = 0;  // of FitResult::states
  double measured = 0.0, uncertainty = 0.0;
  double before = 0.0, after = 0.0;  // of the model; NaN where it had no solution
  // Measured less what the other gauges say through the model, over what that scatters by: of a
  // sound gauge within +-2 in 95 of 100. NaN: nothing else checks this gauge.
  double standardised = std::numeric_limits<double>::quiet_NaN();
  // Share of its own reading that the fit follows, 0 .. 1: near 1, nothing else checks it.
  double leverage = 0.0;
};

// The plant in one state in which gauges were read.
struct FittedState {
  std::string case_name{};
  Settings settings{};
  std::string label{};  // "as it stands", "P-1 tripped", "HV-3.opening = 0.4"
  Solution solution;    // at the numbers found
};

struct FitResult {
  std::string title{};  // of the plant
  bool solved = false;  // false: `verdict` says why; the rest is empty
  bool interrupted = false;
  std::string verdict{};  // plain words
  std::vector<FittedNumber> numbers{};
  std::vector<FittedReading> readings{};
  std::vector<FittedState> states{};
  std::vector<std::string> unclear{};   // what the gauges do not tell, in words
  std::vector<std::string> cautions{};  // what to mind, in words

  // Readings that stand out, as a rule one; several if they cannot be told apart. `without` is the
  // fit that leaves that gauge out in every state; null if there is none, or nothing would be left.
  std::vector<std::size_t> suspicious{};
  std::shared_ptr<const FitResult> without{};

  // Squares of deviations over uncertainties summed: before, and after the fit (of least squares,
  // whatever the loss). Expected after: degrees_of_freedom, readings less numbers that they tell.
  double chi_square_before = std::numeric_limits<double>::quiet_NaN();
  double chi_square = std::numeric_limits<double>::quiet_NaN();
  int degrees_of_freedom = 0;
  // Chance of a worse fit, were model and uncertainties right; NaN where it has no meaning.
  double probability = std::numeric_limits<double>::quiet_NaN();
  double confidence = 0.0;
  // Where no reading states its uncertainty, the scatter of the readings does: over what
  // default_uncertainty assumes. The intervals are then Student's; else normal, and this is 1.
  double noise = 1.0;
  bool noise_from_residuals = false;
  // By number, then number, SI (of logarithms where `logarithmic`); NaN where not identifiable or
  // at a bound.
  std::vector<double> covariance{}, correlation{};
  int num_solves = 0;

  Network network{};  // with the numbers found; no case applied
  std::string Report() const;
};

// "HV-3.opening=0.4; P-1.running=false", as tables of readings hold a state. Throws SettingError.
Settings SettingsFromText(std::string_view text);

// Throws SettingError for an unknown gauge or number, a reading without a unit, an uncertainty that
// is not above 0, a number that the state of a reading sets itself; NetworkError as Solve() does.
// A "blockage" varied makes a valve "blocked" that is "sound". Fewer readings than numbers are no
// error: the answer says what the gauges do not tell.
//
// Weighted least squares with bounds by Levenberg and Marquardt (Ceres Solver), Jacobian by
// ComputeSensitivities; intervals from the Jacobian at the solution, numbers at a bound held.
FitResult Fit(const Network& network, const std::vector<Measurement>& measurements,
              const std::vector<FitUnknown>& vary, const FitOptions& options = {});

}  // namespace handwheel
