#include "handwheel/fit.h"

#include <algorithm>
#include <cmath>

#include "handwheel/errors.h"
#include "optimise/distributions.h"
#include "optimise/fit_inference.h"
#include "optimise/fit_input.h"
#include "optimise/fit_model.h"
#include "optimise/fit_search.h"
#include "optimise/fit_words.h"
#include "text/cat.h"

namespace handwheel::optimise {
namespace {

// Costs closer than this, relatively, are one minimum found twice; the earlier search counts.
constexpr double kSameCost = 1e-9;
// Elsewhere and as well: chi-square by less than this more, and a number by more than this share of
// a change that matters.
constexpr double kAsWell = 1.0, kElsewhere = 0.05;

class Fitter {
 public:
  Fitter(FitInput input, const FitOptions& options)
      : input_(std::move(input)), options_(options), model_(input_, options) {
    // A loss that spares what is far off needs to know what far is.
    if (!input_.uncertainties_stated) options_.loss = FitLoss::kSquares;
  }

  FitResult Run() { return Run(StartsOf(input_, options_.num_starts), /*dig=*/true); }

 private:
  FitResult Run(const std::vector<Eigen::VectorXd>& starts, bool dig) {
    FitResult fit;
    fit.title = input_.original.title;
    fit.confidence = options_.confidence;
    const FitModel::Point before = model_.AtPresent();
    const Minimum best = Search(starts);
    FitModel::Point after;
    if (best.found) after = model_.At(best.u);
    fit.num_solves = model_.num_solves();
    fit.interrupted = stopped_ || model_.interrupted();
    fit.solved = best.found && after.solved && !fit.interrupted;
    if (!fit.solved) {
      fit.verdict = fit.interrupted ? "Interrupted: there is no answer."
                                    : Cat("No fit was found. ", best.reason);
      return fit;
    }
    const Inference inference = Infer(input_, after, best, options_);
    Describe(before, after, best, inference, &fit);
    if (dig) fit.without = FitWithoutSuspect(best.u, &fit);
    if (fit.interrupted) return fit;
    fit.unclear = UnclearWords(input_, inference.blind, fit);
    fit.cautions = CautionsOf(input_, fit);
    AddOtherAnswers(best, inference, &fit);
    fit.verdict = VerdictOf(input_, fit);
    return fit;
  }

  Minimum Search(const std::vector<Eigen::VectorXd>& starts) {
    Minimum best;
    for (std::size_t s = 0; s < starts.size() && !stopped_ && !model_.interrupted(); ++s) {
      const auto news = [&](double chi_square) {
        least_ = std::min(least_, chi_square);
        const FitNews told{static_cast<int>(s) + 1, static_cast<int>(starts.size()),
                           model_.num_solves(), least_};
        stopped_ = stopped_ || (options_.progress && !options_.progress(told));
        return !stopped_;
      };
      Minimum one = SearchFrom(starts[s], input_, options_, &model_, news);
      if (!one.found && best.reason.empty()) best.reason = one.reason;
      if (!one.found) continue;
      const bool better = !best.found || one.cost < best.cost * (1.0 - kSameCost) - kTiny;
      if (better) best = one;
      minima_.push_back(std::move(one));
    }
    return best;
  }

  // A gauge that is wrong is wrong in every state. From where the fit of all ended, and without
  // looking for further suspects. Null where none stands out alone, or nothing would be left.
  std::shared_ptr<const FitResult> FitWithoutSuspect(const Eigen::VectorXd& u, FitResult* fit) {
    if (fit->suspicious.empty()) return nullptr;
    const std::string& gauge = fit->readings[fit->suspicious[0]].gauge;
    for (std::size_t r : fit->suspicious) {
      if (fit->readings[r].gauge != gauge) return nullptr;
    }
    FitInput left = input_.Without(gauge);
    if (left.readings.empty()) return nullptr;
    Fitter fewer(std::move(left), options_);
    auto without = std::make_shared<FitResult>(fewer.Run({u}, /*dig=*/false));
    fit->num_solves += without->num_solves;
    fit->interrupted = without->interrupted;
    if (without->interrupted) {
      fit->solved = false;
      fit->verdict = without->verdict;
    }
    return without->solved ? without : nullptr;
  }

  void Describe(const FitModel::Point& before, const FitModel::Point& after, const Minimum& best,
                const Inference& found, FitResult* fit) {
    fit->chi_square_before = before.residual.squaredNorm();
    fit->chi_square = found.chi_square;
    fit->degrees_of_freedom = found.degrees_of_freedom;
    fit->noise = found.noise;
    fit->noise_from_residuals = found.noise_from_residuals;
    if (!found.noise_from_residuals && found.degrees_of_freedom > 0) {
      fit->probability = ChiSquareTail(found.chi_square, found.degrees_of_freedom);
    }
    fit->suspicious = found.suspicious;
    for (std::size_t n = 0; n < input_.numbers.size(); ++n) {
      fit->numbers.push_back(NumberFrom(n, best, found));
    }
    AddCovariance(best, found, fit);
    for (std::size_t r = 0; r < input_.readings.size(); ++r) {
      const Reading& reading = input_.readings[r];
      const auto row = static_cast<Eigen::Index>(r);
      fit->readings.push_back({reading.gauge.name, reading.gauge.dimension(), reading.state,
                               reading.measured, reading.uncertainty, before.model[row],
                               after.model[row], found.standardised[row], found.leverage[row]});
    }
    const std::vector<Solution> solutions = model_.Solutions();
    for (std::size_t s = 0; s < input_.states.size(); ++s) {
      const State& state = input_.states[s];
      fit->states.push_back({state.case_name, state.settings, state.label, solutions[s]});
    }
    fit->network = FittedNetwork(*fit);
  }

  FittedNumber NumberFrom(std::size_t n, const Minimum& best, const Inference& found) const {
    const Number& number = input_.numbers[n];
    const Varied& first = input_.varied[number.varied.front()];
    const auto row = static_cast<Eigen::Index>(n);
    FittedNumber fitted;
    for (std::size_t v : number.varied) fitted.targets.push_back(input_.varied[v].target);
    fitted.dimension = first.dimension;
    fitted.file_unit = std::string(first.unit);
    fitted.before = number.before;
    fitted.lower_bound = number.lower;
    fitted.upper_bound = number.upper;
    fitted.logarithmic = number.logarithmic;
    fitted.at_bound = best.at_lower[n] || best.at_upper[n];
    const double u = best.u[row];
    const auto value_at = [&](double at) {
      return std::clamp(number.FromU(at), number.lower, number.upper);
    };
    const bool unmoved = u == number.ToU(number.before);  // no round trip through a logarithm
    fitted.value = unmoved ? number.before : value_at(u);
    for (const Blind& blind : found.blind) {
      const auto& blinded = blind.numbers;
      if (std::find(blinded.begin(), blinded.end(), n) != blinded.end()) {
        fitted.identifiable = false;
      }
    }
    const double error = found.error[row] * number.Room();  // of u
    if (std::isnan(error)) return fitted;
    fitted.standard_error = number.logarithmic ? error : error * number.scale;
    const double reach = (fitted.at_bound ? found.one_sided : found.quantile) * error;
    fitted.lower = best.at_lower[n] ? fitted.value : value_at(u - reach);
    fitted.upper = best.at_upper[n] ? fitted.value : value_at(u + reach);
    fitted.changed =
        fitted.identifiable && !(fitted.before >= fitted.lower && fitted.before <= fitted.upper);
    return fitted;
  }

  // From units of Number::Room() to SI, or logarithms.
  void AddCovariance(const Minimum& best, const Inference& found, FitResult* fit) const {
    const auto size = best.u.size();
    const auto unit = [&](Eigen::Index n) {
      const Number& number = input_.numbers[static_cast<std::size_t>(n)];
      return number.Room() * (number.logarithmic ? 1.0 : number.scale);
    };
    for (Eigen::Index a = 0; a < size; ++a) {
      for (Eigen::Index b = 0; b < size; ++b) {
        const double both = found.covariance(a, b);
        fit->covariance.push_back(both * unit(a) * unit(b));
        fit->correlation.push_back(both /
                                   std::sqrt(found.covariance(a, a) * found.covariance(b, b)));
      }
    }
  }

  Network FittedNetwork(const FitResult& fit) const {
    Network network = input_.original;
    for (const FittedNumber& number : fit.numbers) {
      for (const std::string& target : number.targets) {
        const std::string valve = target.substr(0, target.rfind('.'));
        const auto& blocked = input_.blocked;
        if (std::find(blocked.begin(), blocked.end(), valve) != blocked.end() &&
            target == valve + ".blockage") {
          if (number.value == 0.0) continue;  // still sound
          network.Apply(valve + ".condition", "blocked");
        }
        network.Apply(target, number.value);
      }
    }
    return network;
  }

  // Where other searches ended elsewhere and as well, though every direction is seen.
  void AddOtherAnswers(const Minimum& best, const Inference& found, FitResult* fit) const {
    if (!found.blind.empty()) return;
    const double as_well = kAsWell * found.noise * found.noise;
    for (const Minimum& other : minima_) {
      if (2.0 * (other.cost - best.cost) > as_well) continue;
      std::string numbers;
      bool elsewhere = false;
      for (std::size_t n = 0; n < input_.numbers.size(); ++n) {
        const auto row = static_cast<Eigen::Index>(n);
        const double apart = std::abs(other.u[row] - best.u[row]) / input_.numbers[n].Room();
        elsewhere = elsewhere || apart > std::max(kElsewhere, found.error[row]);
        numbers += Cat(numbers.empty() ? "" : ", ", fit->numbers[n].Name(), " ",
                       fit->numbers[n].InUnit(input_.numbers[n].FromU(other.u[row])));
      }
      if (!elsewhere) continue;
      fit->cautions.push_back(
          Cat("Other numbers explain the gauges about as well: ", numbers,
              ". Another gauge, or readings in another state of the plant, would decide."));
      return;
    }
  }

  static constexpr double kTiny = 1e-12;

  FitInput input_;
  FitOptions options_;
  FitModel model_;
  std::vector<Minimum> minima_;
  double least_ = std::numeric_limits<double>::infinity();
  bool stopped_ = false;
};

}  // namespace

}  // namespace handwheel::optimise

namespace handwheel {

bool FitOptions::IsValid(std::string* error) const {
  const auto is = [&](const char* field, double value, const char* expected) {
    *error = Cat(field, " is ", std::to_string(value), "; expected ", expected);
    return false;
  };
  if (!(default_uncertainty > 0.0 && std::isfinite(default_uncertainty))) {
    return is("default_uncertainty", default_uncertainty, "a share above 0");
  }
  if (!(confidence > 0.0 && confidence < 1.0)) {
    return is("confidence", confidence, "a value between 0 and 1");
  }
  if (num_starts < 1) return is("num_starts", num_starts, "1 or more");
  if (max_num_iterations < 1) return is("max_num_iterations", max_num_iterations, "1 or more");
  return steady.IsValid(error);
}

std::string FittedNumber::Name() const {
  std::string name;
  for (const std::string& target : targets) name += Cat(name.empty() ? "" : ", ", target);
  return name;
}

std::string FittedNumber::InUnit(double number) const {
  return VariedText({.dimension = dimension, .unit = file_unit}, number);
}

FitResult Fit(const Network& network, const std::vector<Measurement>& measurements,
              const std::vector<FitUnknown>& vary, const FitOptions& options) {
  std::string error;
  if (!options.IsValid(&error)) throw SettingError("options: " + error);
  return optimise::Fitter(optimise::ReadFitInput(network, measurements, vary, options), options)
      .Run();
}

}  // namespace handwheel
