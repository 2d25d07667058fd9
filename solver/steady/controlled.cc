#include "steady/controlled.h"

#include <algorithm>
#include <cmath>

#include "handwheel/errors.h"
#include "steady/zones.h"
#include "text/cat.h"
#include "text/suggest.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

// Rounds that a combination of modes gets for its flows to settle, and combinations in all.
constexpr int kSettlingRounds = 80;
constexpr std::size_t kMostCombinations = 200;

bool IsChoke(const ControlState& watched) {
  return std::holds_alternative<Choke>(watched.control->control);
}

// The mode that leaves the flow to the component's law.
ControlMode ReleasedMode(const ControlState& watched) {
  return IsChoke(watched) ? ControlMode::kLifted : ControlMode::kFree;
}

}  // namespace

ControlledSolver::ControlledSolver(const Network& network, const Plan& plan,
                                   const SteadyOptions& options, const MethodFunction& method,
                                   Pace pace)
    : network_(network),
      plan_(plan),
      options_(options),
      method_(method),
      pace_(pace),
      is_choke_watched_(plan.chokes.size(), 0) {
  for (const PlanControl& control : plan.controls) watched_.push_back({.control = &control});
}

MethodResult ControlledSolver::Solve(SteadySummary* summary) {
  tried_.insert(Modes());
  while (true) {
    if (!SolveRound(summary)) {
      if (summary->termination != Termination::kNoConvergence) break;
      if (ReleaseGoverned()) continue;
      NameGoverning(summary);
      break;
    }
    const bool settled = FlowsSettled();
    const bool may_wait = !settled && settling_rounds_ <= kSettlingRounds;
    if (may_wait && pace_ == Pace::kSettled) {
      FeedFoundFlows();
      continue;
    }
    if (WatchChokingValves()) continue;
    const Revision revision = ReviseModes(settled);
    if (revision == Revision::kNone && settled) break;
    if (revision == Revision::kChanged) continue;
    if (revision == Revision::kNone && may_wait) {
      FeedFoundFlows();
      continue;
    }
    if (LiftRestlessChokes()) continue;
    GiveUp(summary);
    break;
  }
  summary->num_iterations = num_iterations_;
  for (const Watched& watched : watched_) {
    const int component = watched.control->component;
    double& flow = result_.state.flow[Index(component)];
    if (watched.mode == ControlMode::kAtLimit) flow = FoundFlow(watched);
    const bool holds = std::holds_alternative<HoldPressure>(watched.control->control);
    if (holds && IsGoverned(watched.mode)) flow = std::max(flow, 0.0);  // round-off
    result_.modes.push_back({component, watched.mode});
  }
  result_.state.head.resize(Index(plan_.num_nodes()));
  return std::move(result_);
}

// Returns whether the method converged.
bool ControlledSolver::SolveRound(SteadySummary* summary) {
  Plan frozen = WithoutControls(plan_, watched_);
  while (!watched_.empty() && ReleaseCutOffZones(frozen)) {
    frozen = WithoutControls(plan_, watched_);
  }
  SteadyOptions options = options_;
  if (!result_.state.flow.empty()) options.initial_flow = result_.state.flow;
  if (options_.max_num_iterations > 0) {
    options.max_num_iterations = options_.max_num_iterations - num_iterations_;
    if (options.max_num_iterations <= 0) {
      summary->termination = Termination::kNoConvergence;
      return false;
    }
  }
  if (options_.callback) {
    options.callback = [this](IterationNews news) {
      news.iteration += num_iterations_;
      return options_.callback(news);
    };
  }
  const int fallback_before = summary->num_fallback_iterations;
  result_ = method_(frozen, options, summary);
  num_iterations_ += summary->num_iterations;
  summary->num_fallback_iterations += fallback_before;
  ++settling_rounds_;
  largest_flow_ = 0.0;
  for (double q : result_.state.flow) largest_flow_ = std::max(largest_flow_, std::abs(q));
  result_.solved_plan = std::move(frozen);
  return summary->termination == Termination::kConverged;
}

// A zone that no part joins to a fixed head must balance by itself. Where it does not, a controlled
// component on its border is freed, if that makes a new combination of modes; returns whether one
// was. Where every choice was tried, the zone asks for more than its components let through.
bool ControlledSolver::ReleaseCutOffZones(const Plan& frozen) {
  const std::vector<int> zone = ZonesOfOpenParts(frozen);  // 0: joined to a fixed head
  std::vector<double> net(zone.size(), 0.0), gross(zone.size(), 0.0);
  for (int i = 0; i < plan_.num_free; ++i) {
    net[Index(zone[Index(i)])] += frozen.net_draw[Index(i)];
    gross[Index(zone[Index(i)])] += std::abs(frozen.net_draw[Index(i)]);
  }
  for (std::size_t z = 1; z < zone.size(); ++z) {
    constexpr double kRoundOff = 1e-12;
    if (std::abs(net[z]) <= std::max(options_.flow_tolerance, kRoundOff * gross[z])) continue;
    const auto in_zone = [&](int node) { return Index(zone[Index(node)]) == z; };
    const Watched* holder = nullptr;
    for (Watched& watched : watched_) {
      const std::size_t l = Index(watched.control->component);
      if (LawGoverns(watched.mode)) continue;
      if (!in_zone(plan_.from[l]) && !in_zone(plan_.to[l])) continue;
      std::vector<ControlMode> modes = Modes();
      modes[static_cast<std::size_t>(&watched - watched_.data())] = ReleasedMode(watched);
      if (TryModes(modes)) return true;
      holder = &watched;
    }
    if (holder == nullptr) continue;
    std::vector<char> members(zone.size(), 0);
    for (int i = 0; i < plan_.num_free; ++i) members[Index(i)] = in_zone(i);
    RefuseZone(members, *holder);
  }
  return false;
}

void ControlledSolver::RefuseZone(const std::vector<char>& in_zone, const Watched& holder) const {
  const std::string name = network_.ComponentNames()[Index(holder.control->component)];
  for (int i = 0; i < plan_.num_free; ++i) {
    const double draw = plan_.net_draw[Index(i)];
    if (!in_zone[Index(i)] || draw == 0.0) continue;
    const std::string& junction = network_.junctions[Index(i)].name;
    throw NetworkError(
        Cat(draw > 0.0 ? "the draw at " : "the feed into ", Quoted(junction),
            " cannot be met: ", Quoted(name),
            " is on the only way and does not let so much through; change its setting, or give the "
            "draw or feed another way"),
        junction);
  }
  throw NetworkError(Cat(Quoted(name), ": what it lets through has no way to go on"), name);
}

// --- Between rounds ----------------------------------------------------------------------------

// Returns whether any joined the list.
bool ControlledSolver::WatchChokingValves() {
  bool any = false;
  for (std::size_t c = 0; c < plan_.chokes.size(); ++c) {
    if (is_choke_watched_[c]) continue;
    Watched watched{.control = &plan_.chokes[c]};
    watched.mode = NextMode(watched);
    if (watched.mode == ControlMode::kFree) continue;
    is_choke_watched_[c] = 1;
    watched.fed_flow = FoundFlow(watched);
    watched_.push_back(watched);
    any = true;
  }
  if (any) TryModes(Modes());
  return any;
}

double ControlledSolver::FoundFlow(const Watched& watched) const {
  const int component = watched.control->component;
  if (watched.mode == ControlMode::kAtLimit)
    return ControlJudge(plan_, *watched.control).set_flow();
  return result_.state.flow[Index(component)];
}

ControlMode ControlledSolver::NextMode(const Watched& watched) const {
  return ControlJudge(plan_, *watched.control)
      .NextMode(watched.mode, FoundFlow(watched), result_.state.head, options_);
}

ControlledSolver::Revision ControlledSolver::ReviseModes(bool settled) {
  std::vector<ControlMode> wanted = Modes();
  for (std::size_t i = 0; i < watched_.size(); ++i) wanted[i] = NextMode(watched_[i]);
  const std::vector<ControlMode> present = Modes();
  if (wanted == present) return Revision::kNone;
  if (TryModes(wanted)) return Revision::kChanged;
  if (!settled) return Revision::kNone;
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    if (wanted[i] == present[i]) continue;
    std::vector<ControlMode> one = present;
    one[i] = wanted[i];
    if (TryModes(one)) return Revision::kChanged;
  }
  return Revision::kStuck;
}

// Takes the modes unless they were tried before; returns whether it did. What is newly governed
// starts with the flow found.
bool ControlledSolver::TryModes(const std::vector<ControlMode>& modes) {
  if (tried_.size() >= kMostCombinations || !tried_.insert(modes).second) return false;
  for (std::size_t i = 0; i < watched_.size(); ++i) {
    if (!result_.state.flow.empty()) watched_[i].fed_flow = FoundFlow(watched_[i]);
    watched_[i].mode = modes[i];
  }
  settling_rounds_ = 0;
  relaxation_.Restart();
  return true;
}

std::vector<ControlMode> ControlledSolver::Modes() const {
  std::vector<ControlMode> modes;
  for (const Watched& watched : watched_) modes.push_back(watched.mode);
  return modes;
}

bool ControlledSolver::IsSettled(const Watched& watched) const {
  const double allowed = std::min(1e-2 * options_.flow_tolerance, 1e-12 * largest_flow_ + 1e-15);
  return std::abs(FoundFlow(watched) - watched.fed_flow) <= allowed;
}

bool ControlledSolver::FlowsSettled() const {
  return std::all_of(watched_.begin(), watched_.end(), [&](const Watched& watched) {
    return !IsGoverned(watched.mode) || IsSettled(watched);
  });
}

void ControlledSolver::FeedFoundFlows() {
  std::vector<double> change(watched_.size(), 0.0);
  for (std::size_t i = 0; i < watched_.size(); ++i) {
    if (IsGoverned(watched_[i].mode)) change[i] = FoundFlow(watched_[i]) - watched_[i].fed_flow;
  }
  const double factor = relaxation_.Next(change);
  for (std::size_t i = 0; i < watched_.size(); ++i) watched_[i].fed_flow += factor * change[i];
}

// What one-way parts hold back, a zone may only be unable to take once a component is governed:
// then the round has no solution. Returns whether there is another combination to try.
bool ControlledSolver::ReleaseGoverned() {
  std::vector<ControlMode> modes = Modes();
  for (std::size_t i = 0; i < watched_.size(); ++i) {
    if (!LawGoverns(modes[i])) modes[i] = ReleasedMode(watched_[i]);
  }
  if (!TryModes(modes)) return false;
  result_.state.flow.clear();  // start afresh
  return true;
}

void ControlledSolver::NameGoverning(SteadySummary* summary) const {
  const std::vector<std::string> names = network_.ComponentNames();
  for (const Watched& watched : watched_) {
    if (LawGoverns(watched.mode) && !IsRestless(watched)) continue;
    summary->contradicting.push_back(names[Index(watched.control->component)]);
  }
}

bool ControlledSolver::IsRestless(const Watched& watched) const {
  return NextMode(watched) != watched.mode || (IsGoverned(watched.mode) && !IsSettled(watched));
}

// Returns whether any was lifted.
bool ControlledSolver::LiftRestlessChokes() {
  std::vector<ControlMode> modes = Modes();
  for (std::size_t i = 0; i < watched_.size(); ++i) {
    if (IsChoke(watched_[i]) && IsRestless(watched_[i])) modes[i] = ControlMode::kLifted;
  }
  return modes != Modes() && TryModes(modes);
}

void ControlledSolver::GiveUp(SteadySummary* summary) const {
  const std::vector<std::string> names = network_.ComponentNames();
  summary->termination = Termination::kNoConvergence;
  for (const Watched& watched : watched_) {
    if (!IsRestless(watched)) continue;
    summary->contradicting.push_back(names[Index(watched.control->component)]);
  }
}

void ControlledSolver::StartLike(const MethodResult& other) {
  watched_.clear();
  std::fill(is_choke_watched_.begin(), is_choke_watched_.end(), 0);
  for (const auto& [component, mode] : other.modes) {
    const double flow = other.state.flow[Index(component)];
    for (const PlanControl& control : plan_.controls) {
      if (control.component == component) watched_.push_back({&control, mode, flow});
    }
    for (std::size_t c = 0; c < plan_.chokes.size(); ++c) {
      if (plan_.chokes[c].component != component) continue;
      watched_.push_back({&plan_.chokes[c], mode, flow});
      is_choke_watched_[c] = 1;
    }
  }
}

}  // namespace handwheel
