#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "batch/columns.h"
#include "batch/lane_kernels.h"
#include "batch/lane_network.h"
#include "batch/outputs.h"
#include "batch/single_solver.h"
#include "steady/part_step.h"

namespace handwheel {

// Newton's method on as many scenarios at once as there are lanes; one per thread. A lane whose
// scenario has converged is given the next at once. Every scenario starts from the same state, so
// that nothing depends on which lane it has, or when.
//
// The iteration is that of NewtonSolver with full steps alone. A scenario that does not settle
// soon, or in which a valve chokes, or whose settings need more than laws and heads to change, is
// not for lanes, and given back.
class LaneEngine final : public OffRange {
 public:
  LaneEngine(const LaneNetwork& network, const LaneKernels& kernels, const SteadyOptions& options);

  void Begin(const BatchOutputs* outputs) { outputs_ = outputs; }

  bool has_room() const { return num_busy_ < kernels_.lanes; }
  bool is_idle() const { return num_busy_ == 0; }

  // Gives a scenario, whose settings are valid, a lane; false: it is not for lanes. Needs room.
  bool Admit(const ScenarioNetwork& scenario, std::size_t row);

  struct Left {
    std::size_t row;
    bool solved;  // its outputs are written; else it is not for lanes
    double flow_imbalance;
  };
  // One pass over all lanes. The scenarios that leave stay in left() until the next pass.
  void Pass();
  const std::vector<Left>& left() const { return left_; }
  void Abandon();  // all scenarios still in lanes

  DropSlope Valve(std::size_t valve, std::size_t lane, double flow) override;
  DropSlope Loss(std::size_t loss, double flow) override;

 private:
  struct Lane {
    bool busy = false;
    std::size_t row = 0;
    int passes = 0;
    int polish_passes = 0;
  };

  // What a lane has of its own of a varied component.
  struct Own {
    Law law = ShutLaw{};  // unless it has a throttle
    std::optional<Choke> choke{};
    double opening = 1.0;          // with a throttle
    ValveThrottle::Plain plain{};  // likewise
    // Likewise, once they are asked for.
    std::optional<ViscousLossLaw> viscous{}, above_laminar{};
    double start_flow = 0.0;  // [m³/s]
    double area = 0.0;        // [m²]
  };

  std::size_t At(std::size_t i, std::size_t lane) const { return i * kernels_.lanes + lane; }
  Own& OwnOf(std::size_t varied, std::size_t lane) { return own_[At(varied, lane)]; }
  const Own& OwnOf(std::size_t varied, std::size_t lane) const { return own_[At(varied, lane)]; }
  bool IsShutNow(std::size_t varied, std::size_t lane) const;
  bool IsOneWayNow(std::size_t lane_index, std::size_t lane) const;

  // Settings to laws, heads and draws.
  bool TakeLaws(const ScenarioNetwork& scenario, std::size_t lane);
  bool SurelyFeasible(const ScenarioNetwork& scenario, std::size_t lane);
  bool JudgeFeasibility();
  void PutStart(std::size_t lane);
  void PutHeads(const ScenarioNetwork& scenario, std::size_t lane);
  void PutDraws(const ScenarioNetwork& scenario, std::size_t lane);
  void PutLaw(std::size_t varied, std::size_t lane);
  void Replace(std::size_t i, std::size_t lane, double flow, bool resting);
  DropSlope EvaluateNow(std::size_t i, std::size_t lane, double flow);
  void SumConductance(std::size_t varied, std::size_t lane);

  // A pass.
  void SweepOthers();
  void SweepOther(std::size_t k, std::size_t lane);
  void Visit(std::size_t lane);
  bool WithinTolerances(std::size_t lane) const;

  // A scenario that has converged.
  bool Gather(std::size_t lane);  // false: something is not finite
  void MeasureImbalance();
  bool AnyValveChokes(std::size_t lane) const;
  void FindShutIn(std::size_t lane);
  int FindZone(int zone);
  void Write(std::size_t lane);
  void Leave(std::size_t lane, bool solved);

  const LaneNetwork& network_;
  LaneKernels kernels_;
  const SteadyOptions& options_;
  const BatchOutputs* outputs_ = nullptr;
  LaneArrays arrays_;
  std::vector<Lane> lanes_;
  std::size_t num_busy_ = 0;
  std::vector<Own> own_;            // by varied component and lane
  std::vector<PartMemory> memory_;  // by other component and lane
  std::vector<Left> left_;

  // Of feasibility: by what the varied parts let through, what was found.
  std::string pattern_;
  std::map<std::string, bool, std::less<>> known_patterns_;
  Plan pattern_plan_;

  // Of the scenario at hand, in the order of the plan.
  std::vector<double> flow_, head_, balance_;
  std::vector<int> zone_parent_;
  std::vector<char> zone_is_shut_in_;
  double imbalance_ = 0.0;                                       // largest [m³/s]
  double largest_flow_ = 0.0;                                    // or draw [m³/s]
  std::vector<double> velocity_, drop_, point_head_, pressure_;  // network order
};

}  // namespace handwheel
