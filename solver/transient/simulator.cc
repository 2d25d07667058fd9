#include "transient/simulator.h"

#include <algorithm>
#include <cmath>

#include "advice/words.h"
#include "correlations/check_valve_kind.h"
#include "handwheel/errors.h"
#include "network/resolve.h"
#include "steady/plant_view.h"
#include "steady/solution_builder.h"
#include "text/cat.h"
#include "text/number.h"
#include "transient/events.h"

namespace handwheel {
namespace {

int Int(std::size_t i) {
  return static_cast<int>(i);
}

template <typename Part>
std::size_t IndexOf(const std::vector<Part>& parts, const std::string& name) {
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (parts[i].name == name) return i;
  }
  return parts.size();
}

std::size_t PartOf(const Network& network, const TransientEvent& event) {
  switch (event.kind) {
    case Happening::kTrip:
    case Happening::kStart:
      return IndexOf(network.pumps, event.name);
    case Happening::kGasPressure:
      return IndexOf(network.vessels, event.name);
    case Happening::kDraw:
      return IndexOf(network.junctions, event.name);
    case Happening::kStroke:
    case Happening::kCondition:
      break;
  }
  return IndexOf(network.valves, event.name);
}

bool IsDisplacement(const Pump& pump) {
  return pump.kind == "positive displacement";
}

std::string Signed(double pressure) {
  return Cat(pressure >= 0.0 ? "+" : "-", InBar(std::abs(pressure)));
}

}  // namespace

Simulator::Simulator(const Network& network, const std::vector<TransientEvent>& events,
                     const TransientOptions& options)
    : options_(options), now_(network) {
  std::string error;
  if (!options.IsValid(&error)) throw SettingError("options: " + error);
  now_.Validate();
  CheckEvents(now_, events);
  context_ = {now_.fluid.Resolve(), now_.site.gravity, now_.model};
  grid_ = MakeGrid(now_, context_.liquid, options);
  const KindOffsets first(now_);
  first_valve_ = first.valves;
  first_check_valve_ = first.check_valves;
  first_pump_ = first.pumps;
  first_relief_valve_ = first.relief_valves;
  CheckSizeOfHistories();
  result_.network = now_;
  result_.events = events;
  result_.duration = options.duration;
  result_.time_step = grid_.time_step;
}

void Simulator::CheckSizeOfHistories() const {
  constexpr double kMostNumbers = 2e8;  // 1.6 GB
  const auto steps = static_cast<double>(grid_.num_steps);
  const double rows = options_.record_every
                          ? std::min(steps, options_.duration / *options_.record_every)
                          : std::min(steps, 2000.0);
  const double columns =
      2.0 * static_cast<double>(now_.PointNames().size() + now_.ComponentNames().size());
  if (rows * columns <= kMostNumbers) return;
  throw SettingError(Cat("histories of ", FormatDecimal(rows, 9), " rows of ",
                         FormatDecimal(columns, 9), " numbers; expected at most ",
                         FormatDecimal(kMostNumbers, 9), " numbers. Give a longer record_every."));
}

// --- The start -----------------------------------------------------------------------------------

bool Simulator::FindStart() {
  // As near to its laws as it gets, so that what is at rest stays at rest.
  constexpr double kFlow = 1e-13, kHead = 1e-10;
  SteadyOptions exact = options_.steady;
  exact.method = Method::kNewton;
  exact.flow_tolerance = std::min(exact.flow_tolerance, kFlow);
  exact.head_tolerance = std::min(exact.head_tolerance, kHead);
  SolvedPlan solved = SolvePlan(now_, exact, RunNewton);
  if (!solved.summary.IsSolutionUsable()) {
    SteadyOptions usual = options_.steady;
    usual.method = Method::kNewton;
    solved = SolvePlan(now_, usual, RunNewton);
  }
  plan_ = std::move(solved.plan);
  if (!solved.summary.IsSolutionUsable()) {
    result_.interrupted = solved.summary.termination == Termination::kInterrupted;
    result_.ended_early = Cat("no steady state to start from: ", solved.summary.message);
    return false;
  }
  start_head_ = std::move(solved.result.state.head);
  start_flow_ = std::move(solved.result.state.flow);
  modes_ = std::move(solved.result.modes);
  return true;
}

std::vector<PointSolver::Area> Simulator::Areas() const {
  std::vector<PointSolver::Area> areas;
  for (std::size_t v = 0; v < now_.vessels.size(); ++v) {
    if (!now_.vessels[v].area) continue;
    areas.push_back({plan_.num_free + Int(v), *now_.vessels[v].area});
  }
  return areas;
}

void Simulator::AddPipes(std::vector<int>* lumped, std::vector<PointSolver::Inertia>* rigid) {
  bool assumed = false;
  for (std::size_t p = 0; p < now_.pipes.size(); ++p) {
    const Pipe& pipe = now_.pipes[p];
    const PipeColumn& column = grid_.pipes[p];
    const double area = plan_.area[p];
    assumed |= column.assumed && column.model == ColumnModel::kElastic;
    has_inertia_ |= column.model != ColumnModel::kSteady;
    const double steps = pipe.length / column.wave_speed / grid_.time_step;
    slam_is_told_ &= column.model != ColumnModel::kRigid || steps < 2.0;
    wave_speed_ = std::max(wave_speed_, column.wave_speed);
    if (column.model != ColumnModel::kElastic) {
      lumped->push_back(Int(p));
      if (column.model != ColumnModel::kRigid) continue;
      rigid->push_back({Int(p), pipe.length / (now_.site.gravity * area)});
      continue;
    }
    const auto from = static_cast<std::size_t>(plan_.from[p]);
    const auto to = static_cast<std::size_t>(plan_.to[p]);
    std::vector<double> vapour =
        ElevationsAlong(pipe, plan_.elevation[from], plan_.elevation[to], column.reaches);
    const double absolute = plan_.liquid.vapour_pressure - plan_.atmospheric_pressure;
    for (double& head : vapour) head += absolute / plan_.Weight();
    elastic_of_[p] = Int(pipes_->num_pipes());
    pipes_->Add({Int(p), plan_.from[p], plan_.to[p], column.reaches,
                 column.wave_speed_used / (now_.site.gravity * area)},
                ReachFriction(plan_.laws[p], area, column.reaches, start_flow_[p]),
                start_head_[from], start_head_[to], start_flow_[p], vapour);
  }
  if (assumed) {
    result_.assumptions.push_back(
        "wave speeds were estimated from usual walls or the bulk modulus of water");
  }
}

void Simulator::BuildParts() {
  pipes_ = std::make_unique<ElasticPipes>(grid_.time_step, options_.cavities);
  elastic_of_.assign(now_.pipes.size(), -1);
  std::vector<int> lumped;
  std::vector<PointSolver::Inertia> rigid;
  AddPipes(&lumped, &rigid);
  for (int l = Int(now_.pipes.size()); l < plan_.num_components(); ++l) lumped.push_back(l);
  points_ = std::make_unique<PointSolver>(plan_, pipes_.get(), grid_.time_step, options_.cavities,
                                          lumped, rigid, Areas(), start_head_, start_flow_, modes_);
  for (std::size_t i = 0; i < now_.check_valves.size(); ++i) {
    Flap flap{.component = Int(first_check_valve_ + i), .motion = nullptr};
    const bool shut = points_->Rests(flap.component);
    // Without inertia flow reverses at once, and what a lag would catch means nothing.
    const double lag = has_inertia_ ? FlapMotion::LagOf(now_.check_valves[i]) : 0.0;
    flap.motion = std::make_unique<FlapMotion>(lag, shut);
    flap.was_shut = shut;
    flap.flow_before = points_->flow(flap.component);
    if (IsOneWay(plan_.laws[first_check_valve_ + i])) {
      points_->SetFlap(flap.component, flap.motion.get());
    }
    flaps_.push_back(std::move(flap));
  }
  for (const Vessel& vessel : now_.vessels) {
    level_.push_back(vessel.level);
    gas_head_.push_back(vessel.gas_pressure / plan_.Weight());
  }
  for (const Pump& pump : now_.pumps) pump_speed_.push_back(pump.running ? pump.speed : 0.0);
  for (std::size_t i = 0; i < now_.relief_valves.size(); ++i) {
    relief_lifted_.push_back(points_->flow(Int(first_relief_valve_ + i)) > 0.0);
  }
  point_parted_.assign(now_.junctions.size(), false);
  pipe_parted_.assign(now_.pipes.size(), false);
  vessel_spills_.assign(now_.vessels.size(), false);
  pump_moves_.assign(now_.pumps.size(), false);
  pump_reversed_.assign(now_.pumps.size(), false);
}

void Simulator::PrepareEvents() {
  motions_.resize(now_.pumps.size());
  for (const TransientEvent& event : result_.events) {
    happens_.push_back({.event = event, .index = PartOf(now_, event)});
    const std::size_t i = happens_.back().index;
    const bool pump = event.kind == Happening::kTrip || event.kind == Happening::kStart;
    if (pump && !IsDisplacement(now_.pumps[i]) && !motions_[i]) {
      motions_[i] = std::make_unique<PumpMotion>(now_.pumps[i], context_);
      const std::string& assumed = motions_[i]->assumed();
      if (event.kind == Happening::kTrip && !assumed.empty()) {
        result_.assumptions.push_back(Cat(event.name, " runs down by ", assumed,
                                          ": mechanical time ",
                                          FormatDecimal(motions_[i]->mechanical_time(), 3), " s"));
      }
    }
    // A valve that is shut has no limit of choking yet; the list must not grow during the run.
    if (event.kind != Happening::kStroke) continue;
    const int component = Int(first_valve_ + i);
    const auto known = std::any_of(plan_.chokes.begin(), plan_.chokes.end(),
                                   [&](const PlanControl& c) { return c.component == component; });
    if (!known) plan_.chokes.push_back({component, Choke{LossLaw{1.0, 1e-9}}});
  }
}

// --- What happens
// ----------------------------------------------------------------------------------

void Simulator::Happen(double time) {
  const double instant = 1e-9 * grid_.time_step;
  for (Happens& happens : happens_) {
    if (happens.done || time <= happens.event.at + instant) continue;
    if (!happens.begun) {
      happens.begun = true;
      Begin(&happens);
      recorder_->Log(happens.event.at, happens.event.name, InWords(happens.event));
      points_->Restart();
    }
    const double since = time - happens.event.at;
    happens.done = happens.over <= 0.0 || since >= happens.over * (1.0 - 1e-12);
    Carry(&happens, happens.done ? 1.0 : since / happens.over);
    if (happens.done) points_->Restart();
  }
}

void Simulator::Begin(Happens* happens) {
  const TransientEvent& event = happens->event;
  happens->over = event.over;
  switch (event.kind) {
    case Happening::kTrip:
    case Happening::kStart:
      BeginPump(happens);
      return;
    case Happening::kStroke:
      happens->from = now_.valves[happens->index].opening;
      happens->over = TimeOfStroke(now_.valves[happens->index], happens->from, event);
      return;
    case Happening::kGasPressure:
      happens->from = now_.vessels[happens->index].gas_pressure;
      return;
    case Happening::kDraw:
      happens->from = now_.junctions[happens->index].draw;
      return;
    case Happening::kCondition:
      return;
  }
}

void Simulator::BeginPump(Happens* happens) {
  const std::size_t i = happens->index;
  Pump& pump = now_.pumps[i];
  const bool trips = happens->event.kind == Happening::kTrip;
  pump.running = !trips;
  if (!trips && pump.speed <= 0.0) pump.speed = 1.0;
  pump_moves_[i] = true;
  if (IsDisplacement(pump)) {
    happens->from = pump_speed_[i];
    if (trips) happens->over = 0.0;
    return;
  }
  PumpMotion& motion = *motions_[i];
  points_->SetPump(Int(first_pump_ + i), &motion);
  if (trips) {
    motion.Trip();
  } else {
    motion.Start(pump.speed, happens->over);
  }
  happens->over = 0.0;
}

void Simulator::Carry(Happens* happens, double share) {
  const std::size_t i = happens->index;
  const double value = happens->from + share * (happens->event.value - happens->from);
  switch (happens->event.kind) {
    case Happening::kTrip:
    case Happening::kStart: {
      const Pump& pump = now_.pumps[i];
      if (!IsDisplacement(pump)) return;
      const double target = pump.running ? pump.speed : 0.0;
      pump_speed_[i] = happens->from + share * (target - happens->from);
      Pump slower = pump;
      slower.running = pump_speed_[i] > 0.0;
      slower.speed = pump_speed_[i];
      plan_.laws[first_pump_ + i] = MakeLaw(slower, context_).law;
      return;
    }
    case Happening::kStroke:
      now_.valves[i].opening = share >= 1.0 ? happens->event.value : value;
      SetValveLaw(i);
      return;
    case Happening::kCondition:
      if (i < now_.valves.size()) {
        now_.valves[i].condition = happens->event.condition;
        SetValveLaw(i);
      } else {
        const std::size_t c = IndexOf(now_.check_valves, happens->event.name);
        now_.check_valves[c].condition = happens->event.condition;
        SetCheckValveLaw(c);
      }
      return;
    case Happening::kGasPressure:
      SetGasPressure(i, value);
      return;
    case Happening::kDraw:
      now_.junctions[i].draw = value;
      plan_.net_draw[i] = value - now_.junctions[i].feed;
      return;
  }
}

void Simulator::SetValveLaw(std::size_t valve) {
  const std::size_t l = first_valve_ + valve;
  ComponentLaw made = MakeLaw(now_.valves[valve], context_);
  plan_.laws[l] = std::move(made.law);
  for (PlanControl& choke : plan_.chokes) {
    if (choke.component == Int(l) && made.control) choke.control = *made.control;
  }
  points_->LawChanged(Int(l));
}

void Simulator::SetCheckValveLaw(std::size_t check_valve) {
  const std::size_t l = first_check_valve_ + check_valve;
  plan_.laws[l] = MakeLaw(now_.check_valves[check_valve], context_).law;
  const bool sound = IsOneWay(plan_.laws[l]);
  Flap& flap = flaps_[check_valve];
  points_->SetFlap(Int(l), sound ? flap.motion.get() : nullptr);
  points_->LawChanged(Int(l));
  if (!sound) return;
  const bool shut = points_->Rests(Int(l));
  if (shut) flap.motion->Shut();
  if (!shut) flap.motion->Open();
  flap.was_shut = shut;
}

void Simulator::SetGasPressure(std::size_t vessel, double pressure) {
  const double head = pressure / plan_.Weight(), gained = head - gas_head_[vessel];
  const int node = plan_.num_free + Int(vessel);
  now_.vessels[vessel].gas_pressure = pressure;
  gas_head_[vessel] = head;
  if (now_.vessels[vessel].area) {
    points_->AddGasHead(node, gained);
  } else {
    points_->SetHead(node, points_->head()[static_cast<std::size_t>(node)] + gained);
  }
}

void Simulator::TurnPumps() {
  for (std::size_t i = 0; i < motions_.size(); ++i) {
    if (!motions_[i] || !pump_moves_[i]) continue;
    motions_[i]->Advance(grid_.time_step, points_->flow(Int(first_pump_ + i)));
    pump_speed_[i] = motions_[i]->speed();
  }
}

// --- What follows --------------------------------------------------------------------------------

// A rigid column that is stopped within a step shows a head that means nothing: then a V rho stands
// for the rise, of the fastest waves in the plant.
void Simulator::TellSlam(const std::string& name, double head, Flap* flap) {
  Slam slam = *flap->slam;
  flap->slam.reset();
  slam.rise = slam_is_told_
                  ? (head - flap->head_before) * plan_.Weight()
                  : SlamPressure(plan_.liquid.density, wave_speed_, slam.reverse_velocity);
  recorder_->Log(slam.time, name,
                 Cat("shut, catching ", InSpeed(slam.reverse_velocity), " of reverse flow: ",
                     Signed(slam.rise), " at its outlet", slam_is_told_ ? "" : " at most"));
  result_.slams.push_back(slam);
  result_.slam_pressures_mean_nothing = !slam_is_told_;
}

void Simulator::LookAtFlaps(double time) {
  for (std::size_t i = 0; i < flaps_.size(); ++i) {
    Flap& flap = flaps_[i];
    const auto l = static_cast<std::size_t>(flap.component);
    const std::string& name = now_.check_valves[i].name;
    const double flow = points_->flow(flap.component);
    const double head = points_->head()[static_cast<std::size_t>(plan_.to[l])];
    if (flap.slam) {
      TellSlam(name, head, &flap);
    }
    if (IsOneWay(plan_.laws[l])) {
      const bool rests = points_->Rests(flap.component);
      if (rests && !flap.motion->is_shut()) flap.motion->Shut();
      if (flap.motion->Look(grid_.time_step, flap.flow_before, flow) ==
          FlapMotion::Change::kShuts) {
        flap.motion->Shut();
        points_->HoldShut(flap.component);
        points_->Restart();
        flap.slam = Slam{.check_valve = name,
                         .time = time,
                         .reverse_velocity = -flow / plan_.area[l],
                         .deceleration = flap.motion->deceleration() / plan_.area[l]};
        flap.head_before = head;
      } else if (flap.motion->is_shut() != flap.was_shut) {
        recorder_->Log(time, name, rests ? "shut, without reverse flow" : "opens");
      }
      flap.was_shut = flap.motion->is_shut();
    }
    flap.flow_before = flow;
  }
}

void Simulator::LookAtReliefValves(double time) {
  for (std::size_t i = 0; i < relief_lifted_.size(); ++i) {
    const bool lifted = points_->flow(Int(first_relief_valve_ + i)) > 0.0;
    if (lifted == relief_lifted_[i]) continue;
    relief_lifted_[i] = lifted;
    recorder_->Log(time, now_.relief_valves[i].name, lifted ? "lifts" : "shuts again");
  }
}

void Simulator::LookAtLevels(double time) {
  for (std::size_t v = 0; v < now_.vessels.size(); ++v) {
    const Vessel& vessel = now_.vessels[v];
    if (!vessel.area) continue;
    const int node = plan_.num_free + Int(v);
    const double base = vessel.elevation + gas_head_[v];
    double level = points_->head()[static_cast<std::size_t>(node)] - base;
    if (vessel.height && level > *vessel.height) {
      recorder_->Spilled((level - *vessel.height) * *vessel.area);
      level = *vessel.height;
      points_->SetHead(node, base + level);
      if (!vessel_spills_[v]) recorder_->Log(time, vessel.name, "spills over its wall");
      vessel_spills_[v] = true;
    } else if (vessel.height && level < *vessel.height) {
      vessel_spills_[v] = false;
    }
    if (level < 0.0 && level_[v] >= 0.0) {
      const double share = level_[v] / (level_[v] - level);
      const double when = time - (1.0 - share) * grid_.time_step;
      recorder_->Log(when, vessel.name, "is empty");
      result_.ended_early = Cat(vessel.name, " ran empty at ", FormatDecimal(when, 5),
                                " s: what follows, with gas in the pipes, is not modelled");
    }
    level_[v] = level;
  }
}

// Of cavities the first opening alone is told: they come and go with every wave.
void Simulator::LookAtCavities(double time) {
  for (std::size_t j = 0; j < point_parted_.size(); ++j) {
    if (point_parted_[j] || !points_->HasCavity(Int(j))) continue;
    point_parted_[j] = true;
    recorder_->Log(time, now_.junctions[j].name, "liquid parts at its vapour pressure");
  }
  for (std::size_t p = 0; p < pipe_parted_.size(); ++p) {
    if (elastic_of_[p] < 0 || pipe_parted_[p]) continue;
    if (!pipes_->HasCavity(static_cast<std::size_t>(elastic_of_[p]))) continue;
    pipe_parted_[p] = true;
    recorder_->Log(time, now_.pipes[p].name, "liquid parts within it at its vapour pressure");
  }
}

void Simulator::LookAtPumps(double time) {
  for (std::size_t i = 0; i < pump_reversed_.size(); ++i) {
    if (pump_reversed_[i] || points_->flow(Int(first_pump_ + i)) > -1e-6) continue;
    pump_reversed_[i] = true;
    recorder_->Log(
        time, now_.pumps[i].name,
        Cat("liquid runs back through it, at ", InPercent(pump_speed_[i]), " of full speed"));
  }
}

PlantState Simulator::State() const {
  return {plan_, *points_, *pipes_, elastic_of_, pump_speed_, level_};
}

// --- The run -------------------------------------------------------------------------------------

void Simulator::Step(std::size_t step) {
  const double time = static_cast<double>(step) * grid_.time_step;
  Happen(time);
  TurnPumps();
  pipes_->Advance();
  points_->Step();
  pipes_->FinishStep();
  constexpr double kUnsettledHead = 1e-8, kUnsettledFlow = 1e-10;  // [m], [m³/s]
  if (points_->worst_misfit() > kUnsettledHead || points_->worst_imbalance() > kUnsettledFlow) {
    ++result_.num_unsettled_steps;
    result_.worst_misfit = std::max(result_.worst_misfit, points_->worst_misfit());
  }
  LookAtLevels(time);
  recorder_->Step(step, State());
  LookAtFlaps(time);
  LookAtReliefValves(time);
  LookAtCavities(time);
  LookAtPumps(time);
}

Transient Simulator::Run() {
  if (!FindStart()) return std::move(result_);
  PrepareEvents();
  BuildParts();
  recorder_ = std::make_unique<Recorder>(result_.network, grid_, options_, &result_);
  recorder_->Start(State());
  constexpr std::size_t kBetweenNews = 64;
  for (std::size_t step = 1; step <= grid_.num_steps; ++step) {
    Step(step);
    if (!result_.ended_early.empty()) break;
    if (!options_.progress || step % kBetweenNews != 0) continue;
    if (options_.progress(static_cast<double>(step) * grid_.time_step, options_.duration)) continue;
    result_.interrupted = true;
    break;
  }
  recorder_->Finish(State());
  std::stable_sort(result_.log.begin(), result_.log.end(),
                   [](const LogEntry& a, const LogEntry& b) { return a.time < b.time; });
  return std::move(result_);
}

}  // namespace handwheel
