#pragma once

#include <utility>
#include <vector>

#include "steady/loops.h"
#include "steady/solution_builder.h"

namespace handwheel {

// Hardy Cross's loop corrections (Univ. Illinois Eng. Exp. Station Bulletin 286, 1936). Flows
// always balance; each pass visits the loops in turn and adds to the flow around each
//   dQ = -(sum of sign * drop - head gain) / (sum of slopes),
// every loop seeing the corrections of those before it.
//
// Made safe: along one loop the sum of drops increases with the correction, so it has one root. The
// classical step stands if it lowers the convex content (the integral of that sum) by an assured
// fraction; else a better one is bracketed. No one-way part may go below flow 0, which limits
// steps.
//
// Made faster: every few passes the heads are found along the flattest parts, and the loop that
// closes over them with the largest misfit joins the list for good (unless it is there). A pair of
// outlets behind one long pipe, say, is hopeless if both loops run through the pipe, and quick with
// the loop through both outlets.
//
// Why it converges. The content is strictly convex in the flows and grows without bound. Where
// every one-way part closes a loop of its own, its bound q >= 0 concerns one coordinate; what is
// not smooth is separable, and minimising along the coordinates in turn leads to the minimiser
// (Tseng, J. Optim. Theory Appl. 109, 475-494, 2001). Hence forests take two-way parts first. A
// one-way part that bridges two zones must be a branch; loops share its bound, and corrections may
// all be barred before the heads agree. But then some loop through parts that can all move still
// misfits, or else heads that agree could be assigned (FindHeads either assigns them or finds that
// loop), and it joins the list. There are finitely many simple loops; and with a fixed list every
// limit of the passes is balanced or barred in each loop of it, for steps near a limit are only cut
// short by parts that come to rest there. So the passes converge then too. The number of passes is
// not bounded usefully: where it runs out, the summary says so.
class LoopCorrector {
 public:
  LoopCorrector(const Plan& plan, const SteadyOptions& options);

  MethodResult Run(SteadySummary* summary);

 private:
  using Route = std::vector<std::pair<int, int>>;  // components and signs
  struct Misfit {
    double drop;   // sum of drops less the head gain [m]
    double slope;  // sum of slopes [s/m²]
  };

  void ChooseLoops();
  void BalanceStart();
  void Legalise(int component);
  bool FindSpareRoute(int from, int to, Route* route) const;

  void Pass(int number);
  double Correct(const ClosedLoop& loop);
  double FindCorrection(const ClosedLoop& loop, const Misfit& present, double room, int direction);
  Misfit Present(const ClosedLoop& loop) const;
  Misfit Evaluate(const ClosedLoop& loop, double t, std::vector<DropSlope>* parts) const;
  double Room(const ClosedLoop& loop, int direction) const;
  void Move(const ClosedLoop& loop, double t);
  bool Settled();
  void AddWorstLoop();

  bool IsResting(int component) const;
  LoopFinder PartsThatPass() const;
  void FindHeads();
  void FloatZones(const std::vector<int>& zone, int num_zones);
  double HeadMisfit(int component) const;

  const Plan& plan_;
  const SteadyOptions& options_;
  Forest forest_;
  std::vector<ClosedLoop> loops_;
  SteadyState state_;
  std::vector<DropSlope> at_;                  // by component, at its present flow
  std::vector<DropSlope> trial_, half_trial_;  // by place in a loop, at flows tried
  std::vector<double> imbalance_;
  std::vector<LoopCorrection> corrections_;

  double largest_change_ = 0.0;  // of the last pass [m³/s]
  double largest_misfit_ = 0.0;  // met in the last pass, among loops that could move [m]
  double max_flow_imbalance_ = 0.0;
  double max_head_imbalance_ = 0.0;
  Forest heads_along_;      // of the parts that passed liquid when the heads were found
  std::vector<int> worst_;  // parts that close the loop with the largest head misfit
};

MethodResult RunHardyCross(const Plan& plan, const SteadyOptions& options, SteadySummary* summary);

}  // namespace handwheel
