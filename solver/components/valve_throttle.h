#pragma once

#include <algorithm>
#include <optional>

#include "components/make_law.h"
#include "correlations/flow_coefficient.h"
#include "correlations/monotone_cubic.h"
#include "correlations/valve_characteristic.h"
#include "correlations/valve_sizing.h"

namespace handwheel {

// A valve with everything looked up but its opening: for those who turn its handwheel many times.
class ValveTrim {
 public:
  ValveTrim(const Valve& valve, double bore);

  // The flow coefficient as the valve stands when its handwheel says `opening`: what its condition
  // leaves of the opening, what it takes away, and what a seat that passes lets by beside it. 0:
  // shut.
  FlowCoefficient CoefficientAt(double opening) const;
  // FL [-] there: that given, or that of the kind, raised where the straight run of FL against
  // opening falls faster than the flow coefficient rises (the last fifth of a pinch valve's
  // travel): a valve that opens passes no less choked.
  double RecoveryAt(double opening) const;
  // Least that RecoveryAt() can be.
  double LeastRecovery() const;

  // Finds the openings at which RecoveryAt() needs no look at those below, once for many.
  void FindPlainRecovery();

  const ValveKind& kind() const { return *kind_; }
  FlowCoefficient full() const { return full_; }

 private:
  double StandingOpening(double opening) const { return std::min(opening, most_opening_); }

  const ValveKind* kind_;
  MonotoneCubic characteristic_;  // share of the full coefficient
  FlowCoefficient full_;
  double most_opening_;         // a sleeve that does not reopen stops here
  double kept_ = 1.0;           // of the coefficient
  double passing_ = 0.0;        // Av of a seat that passes [m²]
  std::optional<double> fl_{};  // given
  double plain_to_ = 0.0;       // RecoveryAt() is that of the kind up to this opening
};

// The law of a valve against its opening.
class ValveThrottle {
 public:
  ValveThrottle(const Valve& valve, const LawContext& context);

  ComponentLaw LawAt(double opening) const;

  // The same law of a Newtonian liquid without looking at what viscosity does, which is nothing
  // from the valve Reynolds number turbulent_from() on.
  struct Plain {
    double k;             // on the velocity head in the bore; infinite if shut [-]
    double fl;            // [-]
    double r;             // drop = r q² [s²/m⁵]
    double rev_per_flow;  // valve Reynolds number / |q| [s/m³]
  };
  Plain PlainAt(double opening) const;
  ViscousLossLaw ViscousLawAt(const Plain& at) const;
  // The same above valve Reynolds numbers of ViscousFactor::kAboveLaminar, in less time.
  ViscousLossLaw LawAboveLaminar(const Plain& at) const;
  double turbulent_from() const { return turbulent_from_; }
  // The loss that chokes it there: see Choke.
  LossLaw ChokingLossAt(const Plain& at) const;
  void FindPlainRecovery() { trim_.FindPlainRecovery(); }

 private:
  double ResistanceOf(double k) const {  // [s²/m⁵]
    return k / (2.0 * context_.gravity * area_ * area_);
  }
  Law LawOf(const Plain& at) const;
  double TrimFactorOf(const Plain& at) const {
    return ViscousTrimFactor({.full_open = full_k_, .at_opening = at.k});
  }

  LawContext context_;
  double bore_, area_;
  ValveTrim trim_;
  double full_k_;
  Reducers reducers_{};
  double turbulent_from_;
};

}  // namespace handwheel
