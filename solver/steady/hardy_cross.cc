#include "steady/hardy_cross.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "units/numbers.h"

namespace handwheel {
namespace {

constexpr int kDefaultPasses = 20000;
constexpr double kInfinity = std::numeric_limits<double>::infinity();
// A one-way part rests below this fraction of its start flow: round-off of the balance, not flow.
constexpr double kRestFraction = 1e-14;
constexpr double kLeastClassicSlope =
    1e-9;  // in the classical step [s/m²]: pumps may be flat at shut-off
// The first step of a loop reaches no further than this many times its flows.
constexpr double kReach = 10.0;
// Every so many passes the heads are found, and the loop that misses most joins the list.
constexpr int kPassesBetweenLooks = 10;
constexpr double kWorthALoop = 1e-3;  // least such misfit, of the head tolerance

bool SameParts(const Loop& a, const Loop& b) {
  if (a.components.size() != b.components.size()) return false;
  auto x = a.components, y = b.components;
  std::sort(x.begin(), x.end());
  std::sort(y.begin(), y.end());
  return x == y;
}

}  // namespace

LoopCorrector::LoopCorrector(const Plan& plan, const SteadyOptions& options)
    : plan_(plan), options_(options), at_(plan.laws.size()) {}

MethodResult LoopCorrector::Run(SteadySummary* summary) {
  const int limit = options_.max_num_iterations > 0 ? options_.max_num_iterations : kDefaultPasses;
  summary->method = Method::kHardyCross;
  summary->termination = Termination::kNoConvergence;
  ChooseLoops();
  BalanceStart();
  for (int pass = 1; pass <= limit; ++pass) {
    Pass(pass);
    summary->num_iterations = pass;
    const bool settled = Settled();
    if (options_.callback && !options_.callback({pass, max_flow_imbalance_, largest_misfit_})) {
      summary->termination = Termination::kInterrupted;
      break;
    }
    if (!settled && pass % kPassesBetweenLooks != 0) continue;
    FindHeads();
    if (settled && max_head_imbalance_ <= options_.head_tolerance) {
      summary->termination = Termination::kConverged;
      break;
    }
    AddWorstLoop();
  }
  FindHeads();
  MethodResult result{
      .state = std::move(state_), .loops = {}, .loop_corrections = std::move(corrections_)};
  for (ClosedLoop& loop : loops_) result.loops.push_back(std::move(loop.parts));
  return result;
}

// --- Loops and a legal start -------------------------------------------------------------------

// Slopes at about 1 m/s serve as costs, not those of the start asked for: the loops then depend on
// the network alone.
void LoopCorrector::ChooseLoops() {
  std::vector<char> open(plan_.laws.size());
  std::vector<PartCost> cost(plan_.laws.size());
  for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
    open[l] = !IsShut(plan_.laws[l]);
    cost[l] = {IsOneWay(plan_.laws[l]), EvaluateLaw(plan_.laws[l], plan_.start_flow[l]).slope};
  }
  const LoopFinder finder(plan_, std::move(open), std::move(cost));
  forest_ = finder.GrowForest();
  loops_ = finder.FindLoops(forest_);
}

// Keeps the given flows of the parts that are no branches, and lets the branches, from the tips
// down, carry what balances the draws.
void LoopCorrector::BalanceStart() {
  std::vector<double>& flow = state_.flow;
  flow = options_.initial_flow.empty() ? plan_.start_flow : options_.initial_flow;
  for (std::size_t l = 0; l < flow.size(); ++l) {
    if (IsShut(plan_.laws[l]) || (IsOneWay(plan_.laws[l]) && flow[l] < 0.0)) flow[l] = 0.0;
  }
  for (int l : forest_.link) {
    if (l >= 0) flow[Index(l)] = 0.0;
  }
  std::vector<double> surplus;
  FlowImbalance(plan_, flow, &surplus);
  for (auto node = forest_.order.rbegin(); node != forest_.order.rend(); ++node) {
    if (forest_.IsRoot(*node)) continue;
    const int l = forest_.link[Index(*node)], parent = forest_.parent[Index(*node)];
    const double give = surplus[Index(*node)];
    flow[Index(l)] = plan_.from[Index(l)] == *node ? give : -give;
    if (!plan_.IsFixed(parent)) surplus[Index(parent)] += give;
  }
  for (int l = 0; l < plan_.num_components(); ++l) {
    if (IsOneWay(plan_.laws[Index(l)]) && flow[Index(l)] < 0.0) Legalise(l);
  }
  for (std::size_t l = 0; l < flow.size(); ++l) at_[l] = EvaluateLaw(plan_.laws[l], flow[l]);
}

// Lifts a one-way branch that the balance sends backwards to flow 0, by a circulation through it
// that sends no other part backwards: shortest augmenting paths (Edmonds & Karp, J. ACM 19, 1972)
// reach any flow that exists. Where none exists the branch is left at 0, and the imbalance tells.
void LoopCorrector::Legalise(int component) {
  const std::size_t l = Index(component);
  const double round_off = 1e-12 * plan_.start_flow[l];
  Route route;
  while (state_.flow[l] < -round_off && FindSpareRoute(plan_.to[l], plan_.from[l], &route)) {
    double amount = -state_.flow[l];
    for (const auto& [k, sign] : route) {
      if (sign > 0 || !IsOneWay(plan_.laws[Index(k)])) continue;
      amount = std::min(amount, state_.flow[Index(k)]);
    }
    for (const auto& [k, sign] : route) state_.flow[Index(k)] += sign * amount;
    state_.flow[l] += amount;
  }
  state_.flow[l] = std::max(state_.flow[l], 0.0);
}

// The shortest route along which more could flow: any part forwards, one-way parts backwards only
// as far as they flow. Breadth first; fixed heads are joined.
bool LoopCorrector::FindSpareRoute(int from, int to, Route* route) const {
  struct Step {
    int component = -1, sign = 0, before = -1;
  };
  std::vector<Step> step(Index(plan_.num_nodes()));
  std::vector<char> reached(Index(plan_.num_nodes()), 0);
  std::vector<int> queue;
  const auto reach = [&](int node, const Step& by) {
    if (reached[Index(node)]) return;
    reached[Index(node)] = 1;
    step[Index(node)] = by;
    queue.push_back(node);
  };
  reach(from, {});
  for (std::size_t i = 0; i < queue.size() && !reached[Index(to)]; ++i) {
    const int node = queue[i];
    if (plan_.IsFixed(node)) {
      for (int other = plan_.num_free; other < plan_.num_nodes(); ++other) {
        reach(other, {.component = -1, .sign = 0, .before = node});
      }
    }
    for (int l = 0; l < plan_.num_components(); ++l) {
      const Law& law = plan_.laws[Index(l)];
      if (IsShut(law)) continue;
      const int a = plan_.from[Index(l)], b = plan_.to[Index(l)];
      const bool spare =
          !IsOneWay(law) || state_.flow[Index(l)] > kRestFraction * plan_.start_flow[Index(l)];
      if (a == node) reach(b, {l, +1, node});
      if (b == node && spare) reach(a, {l, -1, node});
    }
  }
  if (!reached[Index(to)]) return false;
  route->clear();
  for (int node = to; node != from; node = step[Index(node)].before) {
    const Step& by = step[Index(node)];
    if (by.component >= 0) route->push_back({by.component, by.sign});
  }
  return true;
}

// --- Passes ------------------------------------------------------------------------------------

void LoopCorrector::Pass(int number) {
  largest_change_ = 0.0;
  largest_misfit_ = 0.0;
  for (std::size_t i = 0; i < loops_.size(); ++i) {
    const double t = Correct(loops_[i]);
    largest_change_ = std::max(largest_change_, std::abs(t));
    if (options_.record_loop_corrections) {
      corrections_.push_back({number, static_cast<int>(i), t});
    }
  }
}

// Returns the correction made.
double LoopCorrector::Correct(const ClosedLoop& loop) {
  const Misfit misfit = Present(loop);
  if (misfit.drop == 0.0) return 0.0;
  const int direction = misfit.drop < 0.0 ? +1 : -1;
  const double room = Room(loop, direction);
  if (room == 0.0) return 0.0;
  largest_misfit_ = std::max(largest_misfit_, std::abs(misfit.drop));
  const double t = FindCorrection(loop, misfit, room, direction);
  Move(loop, t);
  return t;
}

LoopCorrector::Misfit LoopCorrector::Present(const ClosedLoop& loop) const {
  Misfit sum{-loop.head_gain, 0.0};
  for (std::size_t i = 0; i < loop.parts.components.size(); ++i) {
    const DropSlope& at = at_[Index(loop.parts.components[i])];
    sum.drop += loop.parts.signs[i] * at.drop;
    sum.slope += at.slope;
  }
  return sum;
}

LoopCorrector::Misfit LoopCorrector::Evaluate(const ClosedLoop& loop, double t,
                                              std::vector<DropSlope>* parts) const {
  const std::size_t size = loop.parts.components.size();
  parts->resize(size);
  Misfit sum{-loop.head_gain, 0.0};
  for (std::size_t i = 0; i < size; ++i) {
    const std::size_t l = Index(loop.parts.components[i]);
    const int sign = loop.parts.signs[i];
    const DropSlope at = EvaluateLaw(plan_.laws[l], state_.flow[l] + sign * t);
    (*parts)[i] = at;
    sum.drop += sign * at.drop;
    sum.slope += at.slope;
  }
  return sum;
}

// How far the loop can go in a direction before a one-way part comes to rest [m³/s].
double LoopCorrector::Room(const ClosedLoop& loop, int direction) const {
  double room = kInfinity;
  for (std::size_t i = 0; i < loop.parts.components.size(); ++i) {
    const std::size_t l = Index(loop.parts.components[i]);
    if (loop.parts.signs[i] * direction > 0 || !IsOneWay(plan_.laws[l])) continue;
    room = std::min(room, state_.flow[l]);
  }
  return room;
}

// With f(u) the misfit after a correction of size u, signed so that f(0) < 0 and f increases,
// accepts a u that surely lowers the content, the integral of f; L is the steepest slope on the
// way:
//   f(u) in [f(0)/2, 0]                            lowers it by f(0)²/4L at least;
//   past the root, with f(u/2) + f(u) <= f(0)/4    by |f(0)| u/8, and u > |f(0)|/L;
//   the end of the room, with f(u) below f(0)/2    by |f(0)| u/2.
double LoopCorrector::FindCorrection(const ClosedLoop& loop, const Misfit& present, double room,
                                     int direction) {
  const double start = -std::abs(present.drop);
  double reach = 0.0;
  for (int l : loop.parts.components) {
    reach = std::max({reach, std::abs(state_.flow[Index(l)]), plan_.start_flow[Index(l)]});
  }
  double low = 0.0, at_low = start, high = kInfinity, at_high = 0.0;
  double u = std::min({-start / std::max(present.slope, kLeastClassicSlope), kReach * reach, room});
  constexpr int kMaxTrials = 200;
  for (int trial = 0; trial < kMaxTrials; ++trial) {
    const double f = direction * Evaluate(loop, direction * u, &trial_).drop;
    if (f <= 0.0) {
      if (f >= 0.5 * start || u == room) return direction * u;
      low = u;
      at_low = f;
    } else {
      const double half = direction * Evaluate(loop, direction * 0.5 * u, &half_trial_).drop;
      if (half + f <= 0.25 * start) return direction * u;
      high = u;
      at_high = f;
    }
    if (high == kInfinity) {
      u = std::min(2.0 * u, room);
    } else if (trial % 3 == 2) {
      u = 0.5 * (low + high);
    } else {
      u = (low * at_high - high * at_low) / (at_high - at_low);
    }
    if (!(u > low && u < high)) break;  // round-off
  }
  Evaluate(loop, direction * low, &trial_);
  return direction * low;
}

// trial_ holds the parts at the new flows.
void LoopCorrector::Move(const ClosedLoop& loop, double t) {
  for (std::size_t i = 0; i < loop.parts.components.size(); ++i) {
    const std::size_t l = Index(loop.parts.components[i]);
    state_.flow[l] += loop.parts.signs[i] * t;
    at_[l] = trial_[i];
    if (IsOneWay(plan_.laws[l]) && state_.flow[l] < kRestFraction * plan_.start_flow[l]) {
      state_.flow[l] = 0.0;
    }
  }
}

bool LoopCorrector::Settled() {
  FlowImbalance(plan_, state_.flow, &imbalance_);
  max_flow_imbalance_ = 0.0;
  for (double b : imbalance_) max_flow_imbalance_ = std::max(max_flow_imbalance_, std::abs(b));
  double largest_flow = kSmallestFlowScale;
  for (double q : state_.flow) largest_flow = std::max(largest_flow, std::abs(q));
  return max_flow_imbalance_ <= options_.flow_tolerance &&
         largest_misfit_ <= options_.head_tolerance &&
         largest_change_ <= options_.step_tolerance * largest_flow;
}

void LoopCorrector::AddWorstLoop() {
  if (max_head_imbalance_ <= kWorthALoop * options_.head_tolerance) return;
  ClosedLoop loop = PartsThatPass().CloseThrough(worst_, heads_along_);
  for (const ClosedLoop& known : loops_) {
    if (SameParts(known.parts, loop.parts)) return;
  }
  loops_.push_back(std::move(loop));
}

// --- Heads -------------------------------------------------------------------------------------

bool LoopCorrector::IsResting(int component) const {
  return IsOneWay(plan_.laws[Index(component)]) && state_.flow[Index(component)] <= 0.0;
}

LoopFinder LoopCorrector::PartsThatPass() const {
  std::vector<char> passes(plan_.laws.size());
  std::vector<PartCost> cost(plan_.laws.size());
  for (int l = 0; l < plan_.num_components(); ++l) {
    passes[Index(l)] = !IsShut(plan_.laws[Index(l)]) && !IsResting(l);
    cost[Index(l)] = {false, at_[Index(l)].slope};
  }
  return LoopFinder(plan_, std::move(passes), std::move(cost));
}

// Along a forest of the parts that pass liquid, by least slope: a drop is only as accurate as slope
// times round-off of the flow. What a loop still misses shows at the part that closes it.
void LoopCorrector::FindHeads() {
  heads_along_ = PartsThatPass().GrowForest();
  state_.head = StartHeads(plan_);
  std::vector<int> zone(Index(plan_.num_nodes()), 0);  // 0: joined to a fixed head
  int num_zones = 1;
  for (int node : heads_along_.order) {
    const int parent = heads_along_.parent[Index(node)], l = heads_along_.link[Index(node)];
    if (parent < 0) {
      if (!heads_along_.grounded[Index(node)]) zone[Index(node)] = num_zones++;
      continue;
    }
    const double drop = at_[Index(l)].drop;
    const bool outwards = plan_.to[Index(l)] == node;
    state_.head[Index(node)] = state_.head[Index(parent)] + (outwards ? -drop : drop);
    zone[Index(node)] = zone[Index(parent)];
  }
  max_head_imbalance_ = 0.0;
  worst_.clear();
  if (num_zones > 1) FloatZones(zone, num_zones);
  for (int l = 0; l < plan_.num_components(); ++l) {
    const std::size_t from = Index(plan_.from[Index(l)]), to = Index(plan_.to[Index(l)]);
    if (zone[from] != zone[to]) continue;                                      // dealt with above
    if (heads_along_.link[from] == l || heads_along_.link[to] == l) continue;  // met by its head
    const double misfit = HeadMisfit(l);
    if (misfit <= max_head_imbalance_) continue;
    max_head_imbalance_ = misfit;
    worst_ = {l};
  }
}

double LoopCorrector::HeadMisfit(int component) const {
  const std::size_t l = Index(component);
  if (IsShut(plan_.laws[l])) return 0.0;
  const double difference = state_.head[Index(plan_.from[l])] - state_.head[Index(plan_.to[l])];
  const double misfit = difference - at_[l].drop;
  return IsResting(component) ? std::max(misfit, 0.0) : std::abs(misfit);
}

// Zones cut off by parts at rest float. Shifts them so that no part at rest has more than its
// cracking drop across it: difference constraints, solved by Bellman-Ford relaxation. They have a
// solution unless some cycle of zones has more head to spend than it takes to crack all parts at
// rest on the way. Then those parts are worst_, and no heads will do.
void LoopCorrector::FloatZones(const std::vector<int>& zone, int num_zones) {
  struct Holder {
    int component, before, behind;  // zones at its ends
    double excess;                  // head over its cracking drop, before any shift [m]
  };
  std::vector<Holder> holders;
  for (int l = 0; l < plan_.num_components(); ++l) {
    const int from = plan_.from[Index(l)], to = plan_.to[Index(l)];
    if (!IsResting(l) || zone[Index(from)] == zone[Index(to)]) continue;
    const double difference = state_.head[Index(from)] - state_.head[Index(to)];
    holders.push_back({l, zone[Index(from)], zone[Index(to)], difference - at_[Index(l)].drop});
  }
  const double slack = 0.5 * options_.head_tolerance;
  std::vector<double> shift(Index(num_zones), 0.0);
  std::vector<const Holder*> lowered_by(Index(num_zones), nullptr);
  int lowered = -1;
  for (int round = 0; round <= num_zones && (round == 0 || lowered >= 0); ++round) {
    lowered = -1;
    for (const Holder& holder : holders) {
      const double highest = shift[Index(holder.behind)] - holder.excess;
      if (shift[Index(holder.before)] <= highest + slack) continue;
      shift[Index(holder.before)] = highest;
      lowered_by[Index(holder.before)] = &holder;
      lowered = holder.before;
    }
  }
  if (lowered < 0) {
    for (std::size_t i = 0; i < zone.size(); ++i) {
      state_.head[i] += shift[Index(zone[i])] - shift[0];
    }
    return;
  }
  for (int i = 0; i < num_zones; ++i) lowered = lowered_by[Index(lowered)]->behind;  // to the cycle
  max_head_imbalance_ = kInfinity;
  int at = lowered;
  do {
    worst_.push_back(lowered_by[Index(at)]->component);
    at = lowered_by[Index(at)]->behind;
  } while (at != lowered);
}

MethodResult RunHardyCross(const Plan& plan, const SteadyOptions& options, SteadySummary* summary) {
  return LoopCorrector(plan, options).Run(summary);
}

}  // namespace handwheel
