#pragma once

#include <set>
#include <string>
#include <vector>

#include "handwheel/steady.h"
#include "steady/controls.h"
#include "steady/relaxation.h"
#include "steady/solution_builder.h"

namespace handwheel {

// Solves a plan with regulators, and with valves that may choke, by any method; newton comes here
// only where RunCoupledNewton gives up.
//
// A controlled component passes the least of what its law and its control let through. A control
// ties the flow to the head at one end alone, which no law of the drop can say; but while the
// control governs, the component is equal to a part between that end and a fixed head, whose flow
// leaves or enters the network at the other end. So each round solves a plan without controls: what
// is governed stands between one end and a fixed head, and its flow of the round before is drawn or
// fed at the other end. Between rounds, components whose mode the heads and flows contradict change
// it, and the flows drawn and fed are brought up to date.
//
// Whether there is one solution. Each component's flow rises with the head at `from`, falls with
// that at `to`, and what leaves one end enters the other: the net outflows are an M-function of the
// heads, and such a network has one solution where every zone is tied to a fixed head (W. C.
// Rheinboldt, J. Math. Anal. Appl. 32, 274-307, 1970). Feeding the flow of the round before is a
// regular splitting of its M-matrix, which converges (R. S. Varga, Matrix Iterative Analysis, 1962,
// theorem 3.13); mostly at once, since flow seldom comes back to the end that governs it.
//
// Why it ends. A valve that choked once stays under watch, so the list only grows. No combination
// of modes is tried twice: components change together while that makes a new combination, and else
// one at a time with the flows settled. There are finitely many combinations, of which
// kMostCombinations are tried at most, each gets kSettlingRounds rounds at most, and when none is
// left to change to, the summary says so and names the components that contradict each other.
//
// Choking never takes a solution away. Where the pressure before a valve is below the vapour
// pressure already, or a draw behind it asks for more than it can pass choked, or watched valves
// will not come to rest, its law alone is made to govern again; the pressures are then below what
// the liquid bears, and the advice on the solution says so.
class ControlledSolver {
 public:
  // When components may change their modes: after every round, or only once the flows fed are those
  // found, before which heads may be far out. The first is faster, the second surer.
  enum class Pace { kAtOnce, kSettled };

  ControlledSolver(const Network& network, const Plan& plan, const SteadyOptions& options,
                   const MethodFunction& method, Pace pace);

  // Begins as another method found the components to be.
  void StartLike(const MethodResult& other);

  MethodResult Solve(SteadySummary* summary);

 private:
  using Watched = ControlState;
  enum class Revision { kNone, kChanged, kStuck };

  bool SolveRound(SteadySummary* summary);
  bool ReleaseCutOffZones(const Plan& frozen);
  bool ReleaseGoverned();
  void NameGoverning(SteadySummary* summary) const;
  bool WatchChokingValves();
  Revision ReviseModes(bool settled);
  bool IsSettled(const Watched& watched) const;
  bool FlowsSettled() const;
  bool IsRestless(const Watched& watched) const;
  bool LiftRestlessChokes();
  void FeedFoundFlows();
  void GiveUp(SteadySummary* summary) const;

  ControlMode NextMode(const Watched& watched) const;
  std::vector<ControlMode> Modes() const;
  bool TryModes(const std::vector<ControlMode>& modes);
  double FoundFlow(const Watched& watched) const;
  [[noreturn]] void RefuseZone(const std::vector<char>& in_zone, const Watched& holder) const;

  const Network& network_;
  const Plan& plan_;
  const SteadyOptions& options_;
  const MethodFunction& method_;
  Pace pace_;
  std::vector<Watched> watched_;
  std::vector<char> is_choke_watched_;  // by entry of plan.chokes
  std::set<std::vector<ControlMode>> tried_;
  MethodResult result_;
  int num_iterations_ = 0;
  int settling_rounds_ = 0;    // since the modes changed
  double largest_flow_ = 0.0;  // of the round [m³/s]
  Relaxation relaxation_;      // of found less fed flow, by watched component [m³/s]
};

}  // namespace handwheel
