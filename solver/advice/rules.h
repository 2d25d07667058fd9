#pragma once

#include "advice/evidence.h"

// The rules, by what they look at. Thresholds stand with the rules, each with its source.

namespace handwheel {

// points_and_lines.cc
MaybeAdvice ShutIn(const PointItem& item);
MaybeAdvice EmptyVessel(const PointItem& item);
MaybeAdvice PointBoils(const PointItem& item);
MaybeAdvice LineBoils(const PipeItem& item);
MaybeAdvice TooFast(const PipeItem& item);
MaybeAdvice SolidsSettle(const PipeItem& item);

// rating.cc
MaybeAdvice OverRating(const std::optional<double>& rating, double pressure,
                       const std::string& name);

// cavitation.cc
MaybeAdvice Choked(const ValveItem& item);
MaybeAdvice BeyondChoked(const ValveItem& item);
MaybeAdvice Cavitating(const ValveItem& item);

// valve_use.cc
MaybeAdvice ThrottledTooFar(const ValveItem& item);
MaybeAdvice NotForSlurry(const ValveItem& item);
MaybeAdvice VacuumOnSoftParts(const ValveItem& item);

// valve_condition.cc
MaybeAdvice Damaged(const ValveItem& item);
MaybeAdvice PassingThoughShut(const ValveItem& item);
MaybeAdvice ShutDiaphragm(const ValveItem& item);

// check_valve_rules.cc
MaybeAdvice Backflow(const CheckValveItem& item);
MaybeAdvice Fluttering(const CheckValveItem& item);
MaybeAdvice WrongWayUp(const CheckValveItem& item);
MaybeAdvice SuspectWithSolids(const CheckValveItem& item);
MaybeAdvice Slam(const CheckValveItem& item);

// pump_range.cc
MaybeAdvice BeyondItsCurve(const PumpItem& item);
MaybeAdvice PushedBackwards(const PumpItem& item);
MaybeAdvice OutsideItsRange(const PumpItem& item);
MaybeAdvice DroopingCurve(const PumpItem& item);
MaybeAdvice SpunBackwards(const PumpItem& item);
MaybeAdvice DrivenForwards(const PumpItem& item);

// pump_duty.cc
MaybeAdvice ShortOfNpsh(const PumpItem& item);
MaybeAdvice MotorOverloaded(const PumpItem& item);
MaybeAdvice ViscosityBeyondMethod(const PumpItem& item);
MaybeAdvice NoReliefValve(const PumpItem& item);

// regulator_rules.cc
MaybeAdvice WideOpen(const RegulatorItem& item);
MaybeAdvice ShutAndNotHolding(const RegulatorItem& item);
MaybeAdvice HeldShut(const ReliefValveItem& item);
MaybeAdvice Lifting(const ReliefValveItem& item);

// whole_solution.cc
MaybeAdvice NotSolved(const Solution& solution);
MaybeAdvice NotNewtonian(const Evidence& evidence);

}  // namespace handwheel
