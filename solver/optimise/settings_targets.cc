#include "optimise/settings_targets.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "handwheel/errors.h"
#include "text/cat.h"
#include "text/suggest.h"

namespace handwheel {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();
constexpr double kUsualTolerance = 1e-3;  // of the size: finer than gauges show
constexpr double kClearOfLimit = 1e-3;    // of its size
constexpr int kLargestPriority = 1'000'000;

bool IsGiven(const Value& value) {
  const std::string* text = std::get_if<std::string>(&value);
  return text == nullptr || !text->empty();
}

double NumberOf(const Value& value, const Gauge& gauge, const char* what) {
  double number = std::numeric_limits<double>::quiet_NaN();
  if (const double* given = std::get_if<double>(&value)) {
    number = *given;
  } else if (const std::string* text = std::get_if<std::string>(&value)) {
    try {
      number = ParseQuantity(*text, gauge.dimension());
    } catch (const UnitError& error) {
      throw UnitError(Cat(what, " of ", gauge.name, ": ", error.what()));
    }
  }
  if (std::isfinite(number)) return number;
  throw SettingError(Cat(what, " of ", gauge.name, " is no number; expected one in ",
                         SiUnit(gauge.dimension()), ", or a text such as \"",
                         GaugeText(gauge, UsualSize(gauge.dimension())), "\"."));
}

double SizeOf(const ReadTarget& target) {
  double size = 0.0;
  if (std::isfinite(target.lower)) size = std::abs(target.lower);
  if (std::isfinite(target.upper)) size = std::max(size, std::abs(target.upper));
  return size > 0.0 ? size : UsualSize(target.gauge.dimension());
}

ReadTarget ReadOne(const Network& network, const GaugeTarget& given) {
  ReadTarget target{.gauge = FindGauge(network, given.gauge),
                    .lower = -kInfinity,
                    .upper = kInfinity,
                    .priority = given.priority};
  if (IsGiven(given.lower)) target.lower = NumberOf(given.lower, target.gauge, "target");
  if (IsGiven(given.upper)) target.upper = NumberOf(given.upper, target.gauge, "target");
  if (!IsGiven(given.lower) && !IsGiven(given.upper)) {
    throw SettingError(Cat("target ", Quoted(given.gauge),
                           " asks for nothing; expected a value, or an end at least."));
  }
  if (target.lower > target.upper) {
    throw SettingError(Cat("target ", Quoted(given.gauge), " asks for at least ",
                           GaugeText(target.gauge, target.lower), " and at most ",
                           GaugeText(target.gauge, target.upper), "."));
  }
  if (std::abs(given.priority) > kLargestPriority) {
    throw SettingError(Cat("priority of ", Quoted(given.gauge), " is ",
                           std::to_string(given.priority), "; expected up to ",
                           std::to_string(kLargestPriority), "."));
  }
  target.size = SizeOf(target);
  target.tolerance = IsGiven(given.tolerance) ? NumberOf(given.tolerance, target.gauge, "tolerance")
                                              : kUsualTolerance * target.size;
  if (target.tolerance < 0.0) {
    throw SettingError(Cat("tolerance of ", Quoted(given.gauge), " is ",
                           GaugeText(target.gauge, target.tolerance), "; expected none below 0."));
  }
  return target;
}

}  // namespace

std::vector<ReadTarget> ReadTargets(const Network& network,
                                    const std::vector<GaugeTarget>& targets) {
  if (targets.empty()) throw SettingError("no targets; expected at least one, such as L-4.flow.");
  std::vector<ReadTarget> read;
  for (const GaugeTarget& target : targets) read.push_back(ReadOne(network, target));
  return read;
}

std::vector<Gauge> GaugesOf(const std::vector<ReadTarget>& targets) {
  std::vector<Gauge> gauges;
  for (const ReadTarget& target : targets) gauges.push_back(target.gauge);
  return gauges;
}

Wish LimitAsWish(const LimitReading& present, double threshold, std::size_t index) {
  // Clear of the threshold, but not of the present value: penalties give way a little.
  const double side = present.at_least ? 1.0 : -1.0;
  double room = side * (present.value - threshold);
  if (std::isnan(room)) room = kInfinity;
  const double edge = threshold + side * std::clamp(room, 0.0, kClearOfLimit * present.size);
  return {.priority = Wish::kLimits,
          .lower = present.at_least ? edge : -kInfinity,
          .upper = present.at_least ? kInfinity : edge,
          .size = present.size,
          .is_limit = true,
          .index = index};
}

}  // namespace handwheel
