#include <algorithm>
#include <array>
#include <initializer_list>
#include <string_view>
#include <utility>

#include "advice/rules.h"
#include "advice/words.h"

namespace handwheel {
namespace {

int Rank(const Advice& advice) {
  if (advice.severity == kDanger) return 0;
  return advice.severity == kWarning ? 1 : 2;
}

// Runs rules over the parts in network order.
class Findings {
 public:
  explicit Findings(const Evidence& evidence) : evidence_(evidence) {}

  template <typename Item>
  using Rules = std::initializer_list<MaybeAdvice (*)(const Item&)>;

  void OnPoints(Rules<PointItem> rules) {
    const auto& names = evidence_.plant.solution.point_names();
    for (std::size_t p = 0; p < names.size(); ++p) {
      for (const auto& rule : rules) Keep(names[p], rule(PointItem{p, evidence_}));
    }
  }

  template <typename Part, typename Reading>
  void OnParts(const std::vector<Part>& parts, const std::vector<Reading>& readings,
               std::size_t first, Rules<Item<Part, Reading>> rules) {
    for (std::size_t i = 0; i < parts.size(); ++i) {
      const Item<Part, Reading> item{parts[i], readings[i], first + i, evidence_};
      for (const auto& rule : rules) Keep(parts[i].name, rule(item));
      KeepRating(parts[i]);
    }
  }

  void OnRestrictions() {
    for (const Restriction& part : evidence_.plant.network.restrictions) KeepRating(part);
  }

  void Keep(const std::string& name, MaybeAdvice advice) {
    if (!advice) return;
    advice->component = name;
    found_.push_back(std::move(*advice));
  }

  std::vector<Advice> Sorted() {
    std::stable_sort(found_.begin(), found_.end(),
                     [](const Advice& a, const Advice& b) { return Rank(a) < Rank(b); });
    return std::move(found_);
  }

 private:
  template <typename Part>
  void KeepRating(const Part& part) {
    if constexpr (requires { part.rating; }) {
      const PlantView& plant = evidence_.plant;
      if (!part.rating) return;
      Keep(part.name,
           OverRating(part.rating, HigherOf(plant.Gauge(part.from), plant.Gauge(part.to)),
                      part.name));
    }
  }

  // An undetermined one does not count.
  static double HigherOf(double a, double b) { return std::isnan(a) || b > a ? b : a; }

  const Evidence& evidence_;
  std::vector<Advice> found_;
};

std::vector<Advice> Unsolved(const Solution& solution) {
  std::vector<Advice> found = {*NotSolved(solution)};
  for (const std::string& name : solution.summary().contradicting) {
    found.push_back({.component = name,
                     .kind = "set points contradict",
                     .severity = kWarning,
                     .message = "No way was found for " + name +
                                " to keep its set point while the others named keep theirs.",
                     .check = "the set points of these components against each other, and whether "
                              "two hold one stretch of pipe."});
  }
  return found;
}

}  // namespace

std::vector<Advice> Solution::advice() const {
  if (!converged()) return Unsolved(*this);
  const Evidence evidence(*this);
  const Readings& readings = evidence.readings;
  const KindOffsets& first = evidence.plant.first;
  Findings findings(evidence);
  findings.OnPoints({ShutIn, EmptyVessel, PointBoils});
  findings.OnParts(network_.pipes, readings.pipes, first.pipes, {LineBoils, TooFast, SolidsSettle});
  findings.OnParts(network_.valves, readings.valves, first.valves,
                   {Damaged, PassingThoughShut, ShutDiaphragm, Choked, BeyondChoked, Cavitating,
                    ThrottledTooFar, NotForSlurry, VacuumOnSoftParts});
  findings.OnParts(network_.check_valves, readings.check_valves, first.check_valves,
                   {Backflow, Fluttering, WrongWayUp, SuspectWithSolids, Slam});
  findings.OnParts(
      network_.pumps, readings.pumps, first.pumps,
      {BeyondItsCurve, PushedBackwards, OutsideItsRange, DroopingCurve, SpunBackwards,
       DrivenForwards, ShortOfNpsh, MotorOverloaded, ViscosityBeyondMethod, NoReliefValve});
  findings.OnRestrictions();
  findings.OnParts(network_.regulators, readings.regulators, first.regulators,
                   {WideOpen, ShutAndNotHolding});
  findings.OnParts(network_.relief_valves, readings.relief_valves, first.relief_valves,
                   {HeldShut, Lifting});
  findings.Keep("fluid", NotNewtonian(evidence));
  return findings.Sorted();
}

}  // namespace handwheel
