#pragma once

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "components/make_law.h"
#include "handwheel/transient.h"
#include "steady/plan.h"
#include "transient/elastic_pipes.h"
#include "transient/flap_motion.h"
#include "transient/pipe_grid.h"
#include "transient/point_solver.h"
#include "transient/pump_motion.h"
#include "transient/recorder.h"

namespace handwheel {

// One run. Each step, from t to t + dt: what happens is put into the plan; pumps change speed by
// the torque of the flow before; then elastic pipes, points, and what follows from their flows:
// check valves that come down, levels that reach a rim or the bottom.
class Simulator {
 public:
  Simulator(const Network& network, const std::vector<TransientEvent>& events,
            const TransientOptions& options);
  Transient Run();

 private:
  struct Happens {
    TransientEvent event;
    std::size_t index = 0;  // of the part in its kind
    bool begun = false, done = false;
    double from = 0.0;  // value at its beginning
    double over = 0.0;  // [s]
  };
  struct Flap {
    int component;
    std::unique_ptr<FlapMotion> motion;
    double flow_before = 0.0;
    bool was_shut = false;
    std::optional<Slam> slam{};  // caught in the step before
    double head_before = 0.0;    // at `to` [m]
  };

  // The state at the start; false, with the reason in the result: there is none.
  bool FindStart();
  void CheckSizeOfHistories() const;
  void BuildParts();
  void AddPipes(std::vector<int>* lumped, std::vector<PointSolver::Inertia>* rigid);
  void PrepareEvents();
  std::vector<PointSolver::Area> Areas() const;

  void Step(std::size_t step);
  void Happen(double time);
  void Begin(Happens* happens);
  void Carry(Happens* happens, double share);
  void BeginPump(Happens* happens);
  void SetValveLaw(std::size_t valve);
  void SetCheckValveLaw(std::size_t check_valve);
  void SetGasPressure(std::size_t vessel, double pressure);
  void TurnPumps();
  void LookAtFlaps(double time);
  void TellSlam(const std::string& name, double head, Flap* flap);
  void LookAtReliefValves(double time);
  void LookAtLevels(double time);
  void LookAtCavities(double time);
  void LookAtPumps(double time);
  PlantState State() const;

  const TransientOptions& options_;
  Network now_;  // as it stands during the run
  LawContext context_;
  Transient result_;
  Plan plan_;
  std::vector<double> start_head_, start_flow_;
  std::vector<std::pair<int, ControlMode>> modes_;
  PipeGrid grid_;
  std::size_t first_valve_, first_check_valve_, first_pump_, first_relief_valve_;
  std::vector<Happens> happens_;
  std::unique_ptr<ElasticPipes> pipes_;
  std::unique_ptr<PointSolver> points_;
  std::unique_ptr<Recorder> recorder_;
  std::vector<int> elastic_of_;
  std::vector<Flap> flaps_;
  bool has_inertia_ = false;  // some column
  bool slam_is_told_ = true;  // by the heads: no rigid column is long for a step
  double wave_speed_ = 0.0;   // highest of the plant [m/s]
  std::vector<std::unique_ptr<PumpMotion>> motions_;  // by pump; empty: its speed stays
  std::vector<bool> pump_moves_, pump_reversed_;
  std::vector<double> pump_speed_, level_, gas_head_;
  std::vector<bool> relief_lifted_, point_parted_, pipe_parted_, vessel_spills_;
};

}  // namespace handwheel
