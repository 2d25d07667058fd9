#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "steady/controls.h"
#include "steady/plan.h"
#include "transient/elastic_pipes.h"
#include "transient/flap_motion.h"
#include "transient/pump_motion.h"

namespace handwheel {

// Heads at the points, and flows through all components but elastic pipes, one step at a time.
//
// Elastic pipes part the plant into groups: points that are joined by other components. An elastic
// pipe that ends at a point brings (c - H)/b there; a vessel with an area takes
//   (A/dt) [H - H_before - gas head gained]       = theta Q + (1 - theta) Q_before
// and a component follows its law; a rigid column adds to it
//   (L/gA) (3 Q - 4 Q_before + Q_before_that)/(2 dt),
// or (L/gA)(Q - Q_before)/dt in the steps around a jump. Newton on the heads of each group, flows
// eliminated, as in the steady solver: corrections are solved for, so that the liquid balances to
// round-off. The matrix is an M-matrix; it is small and dense, and eliminated without pivoting. A
// point that nothing ties down keeps its head.
//
// Where that does not settle soon, a law bends too sharply between where it was linearised and the
// flow found (a yield stress): then the next point is chosen on the law, at the heads found.
//
// Around it, rounds in which one-way parts, controls, and cavities change sides until none wants
// to. After several rounds those that still do stay as they are: such steps are counted.
class PointSolver {
 public:
  struct Inertia {
    int component;
    double inertance;  // L/(gA) [s²/m²]
  };
  struct Area {
    int point;
    double area;  // [m²]
  };

  // `lumped` are the components that are no elastic pipes. The plan is kept, and may change later:
  // laws, draws and fixed heads.
  PointSolver(const Plan& plan, ElasticPipes* pipes, double time_step, bool cavities,
              const std::vector<int>& lumped, const std::vector<Inertia>& rigid,
              const std::vector<Area>& areas, const std::vector<double>& head,
              const std::vector<double>& flow,
              const std::vector<std::pair<int, ControlMode>>& modes);

  // A step on, after ElasticPipes::Advance().
  void Step();

  // Something has jumped: rigid columns begin their history anew.
  void Restart();
  // The law of a component has become another.
  void LawChanged(int component);
  void SetPump(int component, const PumpMotion* motion);  // by which it goes from now on
  void SetFlap(int component, FlapMotion* flap);
  void HoldShut(int component);               // a check valve has come down
  void AddGasHead(int point, double gained);  // of a vessel with an area, in the next step [m]
  void SetHead(int point, double head);       // overflow: the level is cut back

  const std::vector<double>& head() const { return head_; }  // by node of the plan [m]
  double flow(int component) const { return flow_[Index(component)]; }
  bool Rests(int component) const { return rests_[Index(component)]; }
  double LargestCavity(int point) const { return largest_cavity_[Index(point)]; }
  bool HasCavity(int point) const { return cavity_[Index(point)] > 0.0; }
  double NetInflow(int point) const { return inflow_[Index(point)]; }  // of fixed points, vessels
  double theta() const { return theta_; }  // weight of the end of the last step in time
  // Cavities at points [m³], less what a step still counts twice.
  double CavityVolume() const;

  // Of the last step, where iterations ran out: off the laws [m], of the balance [m³/s].
  double worst_misfit() const { return worst_misfit_; }
  double worst_imbalance() const { return worst_imbalance_; }
  static constexpr double kHeadTolerance = 1e-10;  // [m]

 private:
  struct Group {
    std::vector<int> points, components;
    std::vector<std::size_t> ends;
    int without_history = 1;  // steps to come in which rigid columns look back one step only
  };
  static std::size_t Index(int i) { return static_cast<std::size_t>(i); }
  bool IsUnknown(int node) const { return !plan_.IsFixed(node) || area_[Index(node)] > 0.0; }
  int PlaceOf(int node) const { return IsUnknown(node) ? place_[Index(node)] : -1; }
  void MakeGroups(const std::vector<int>& lumped);
  void SetFixedEnds();
  void Solve(Group* group);
  void Gather(const Group& group);
  void Settle(Group* group);
  bool Iterate(const Group& group, int iteration);
  void AddPoints(const Group& group);
  void AddComponents(const Group& group);
  void Correct(const Group& group, double step);
  void MoveOntoLaws(const Group& group);
  double FlowBetween(int component, double a, double b) const;
  bool Flows(int component) const;
  bool Balances(const Group& group) const;
  // Of what governs a component: where its flow lies off it [m], the slope, and which of its ends
  // it looks at.
  struct Linearised {
    double misfit, conductance;
    bool sees_from, sees_to;
  };
  Linearised Linearise(int component) const;
  DropSlope DropOf(int component, double q) const;
  void Eliminate(std::size_t count);
  bool ChangeSides(const Group& group, int round);
  bool ChangeOneWay(int component);
  bool ChangeControl(int component);
  bool ChangeCavity(int point);
  bool MoveTangents(const Group& group);
  void Finish(Group* group);
  void FinishPoint(int point, double net);
  void SumFixedInflows();
  void SumVesselInflows();
  void ChooseTheta();

  const Plan& plan_;
  ElasticPipes* pipes_;
  double time_step_;
  bool cavities_;
  std::vector<Group> groups_;
  std::vector<std::size_t> fixed_ends_;

  // By node of the plan.
  std::vector<double> head_, head_before_, gas_gained_;
  std::vector<double> area_;  // 0: none
  std::vector<double> inflow_, inflow_before_;
  std::vector<double> vapour_head_, cavity_, cavity_shrinks_, largest_cavity_;
  std::vector<char> in_cavity_, closing_, cavity_flips_;
  std::vector<double> sum_, pull_;   // of the ends: sum of 1/b, of c/b
  std::vector<double> net_, scale_;  // inflow less what leaves, and the sizes of its terms
  std::vector<int> place_;           // in its group

  // By component of the plan.
  std::vector<double> flow_, before_, before_that_, inertance_;
  std::vector<char> rests_, rested_, flips_;  // rested: before the step
  std::vector<const PumpMotion*> pumps_;
  std::vector<FlapMotion*> flaps_;
  std::vector<const PlanControl*> controls_;
  std::vector<ControlMode> modes_;
  std::vector<Linearised> lines_;
  std::vector<double> line_flow_;  // at which it was linearised [m³/s]
  std::vector<int> lumped_;

  // Of the group in hand.
  std::vector<double> matrix_, right_;
  std::vector<char> floats_;  // by place: nothing ties its head down
  bool use_history_ = false;
  double theta_ = 0.5, next_theta_ = 0.5;
  double worst_misfit_ = 0.0, worst_imbalance_ = 0.0;
};

}  // namespace handwheel
