#include "drawing/drawn_parts.h"

#include <algorithm>
#include <cmath>
#include <string_view>
#include <unordered_map>

#include "drawing/shown_values.h"
#include "handwheel/errors.h"
#include "text/cat.h"
#include "text/suggest.h"

namespace handwheel {
namespace {

constexpr double kMillimetresPerMetre = 1000.0;

template <typename Part>
std::optional<DiagramPoint> PinOf(const Part& part) {
  if (part.x.has_value() != part.y.has_value()) {
    throw NetworkError(Cat(Quoted(part.name), ": x and y place it on diagrams together; ",
                           part.x ? "y" : "x", " is not given."),
                       part.name, part.x ? "y" : "x");
  }
  if (!part.x) return std::nullopt;
  return DiagramPoint{*part.x * kMillimetresPerMetre, *part.y * kMillimetresPerMetre};
}

template <typename Part>
std::string SizeOf(const Part& part, const ShownValues& shown) {
  return part.bore ? shown.Millimetres(*part.bore) : part.size;
}

std::string Letters(const Valve& valve) {
  if (valve.normally.empty()) return {};
  return valve.normally == "open" ? "NO" : "NC";
}

std::string Joined(std::string_view first, std::string_view second) {
  if (first.empty() || second.empty()) return Cat(first, second);
  return Cat(first, " ", second);
}

class PartMaker {
 public:
  PartMaker(const Network& network, const Solution* solution, const DiagramOptions& options)
      : network_(network), solution_(solution), options_(options), shown_(options) {}

  DrawnParts Make() {
    parts_.has_solution = solution_ != nullptr;
    AddPoints();
    AddComponents();
    AddFindings();
    return std::move(parts_);
  }

 private:
  // --- Points ---

  void AddPoints() {
    double highest = 0.0;
    for (const Vessel& vessel : network_.vessels) highest = std::max(highest, vessel.level);
    for (const Vessel& vessel : network_.vessels) {
      AddVessel(vessel, highest > 0.0 ? vessel.level / highest : 0.0);
    }
    for (const Junction& junction : network_.junctions) AddJunction(junction);
  }

  void AddVessel(const Vessel& vessel, double level) {
    DrawnPoint point{.is_vessel = true,
                     .is_closed = vessel.gas_pressure != 0.0,
                     .level = level,
                     .words = {.name = vessel.name},
                     .pin = PinOf(vessel)};
    point.words.values.push_back(Cat("level ", shown_.Length(vessel.level)));
    if (point.is_closed) {
      point.words.values.push_back(Cat("gas ", shown_.Pressure(vessel.gas_pressure)));
    }
    if (solution_ != nullptr) {
      const double inflow = solution_->outflow()[parts_.points.size()];
      if (std::abs(inflow) >= kLeastShownFlow) {
        point.words.values.push_back(Cat(inflow > 0.0 ? "takes " : "gives ", shown_.Flow(inflow)));
      }
    }
    Keep(std::move(point), "vessel");
  }

  void AddJunction(const Junction& junction) {
    DrawnPoint point{.draws = junction.draw > 0.0,
                     .feeds = junction.feed > 0.0,
                     .words = {.name = junction.name},
                     .pin = PinOf(junction)};
    if (solution_ != nullptr) {
      const double pressure = solution_->pressure()[parts_.points.size()];
      point.words.values.push_back(std::isnan(pressure) ? "shut in" : shown_.Pressure(pressure));
    }
    if (point.draws) point.words.values.push_back(Cat("draw ", shown_.Flow(junction.draw)));
    if (point.feeds) point.words.values.push_back(Cat("feed ", shown_.Flow(junction.feed)));
    Keep(std::move(point), "junction");
  }

  void Keep(DrawnPoint point, std::string_view kind) {
    point.words.description = Described(kind, point.words);
    point_of_.emplace(point.words.name, static_cast<int>(parts_.points.size()));
    parts_.points.push_back(std::move(point));
  }

  static std::string Described(std::string_view kind, const DrawnWords& words) {
    std::string text = Cat(kind, " ", words.name);
    for (const std::string& value : words.values) text += Cat(", ", value);
    return text;
  }

  // --- Components ---

  void AddComponents() {
    for (const Pipe& pipe : network_.pipes) {
      Add(pipe, pipe.to, "pipe", Symbol::kPipe, false,
          solution_ == nullptr ? Values{SizeOf(pipe, shown_)} : Values{});
    }
    for (const Valve& valve : network_.valves) AddValve(valve);
    for (const CheckValve& valve : network_.check_valves) AddCheckValve(valve);
    for (const Pump& pump : network_.pumps) AddPump(pump);
    for (const Restriction& part : network_.restrictions) {
      Add(part, part.to, "restriction", Symbol::kRestriction, false, WithDrop({}));
    }
    for (const Nozzle& nozzle : network_.nozzles) {
      Add(nozzle, "", "nozzle", Symbol::kNozzle, false, {});
    }
    for (const Regulator& regulator : network_.regulators) AddRegulator(regulator);
    for (const ReliefValve& valve : network_.relief_valves) {
      Add(valve, valve.to, "relief valve", Symbol::kRelief, State() == FlowState::kShut,
          {Cat("set ", shown_.Pressure(valve.set_pressure)),
           State() == FlowState::kShut ? "shut" : (solution_ == nullptr ? "" : "lifting")});
    }
  }

  using Values = std::vector<std::string>;

  void AddValve(const Valve& valve) {
    const bool shut = valve.opening == 0.0;
    const std::string stands =
        shut ? "shut" : (valve.opening == 1.0 ? "open" : ShownValues::Percent(valve.opening));
    Values values = {Joined(Letters(valve), stands)};
    if (valve.condition != "sound") values.push_back(valve.condition);
    if (State() == FlowState::kChoked) values.push_back("choked");
    Add(valve, valve.to, Cat("valve, ", valve.kind, ","), SymbolOfValve(valve.kind), shut,
        WithDrop(std::move(values)));
  }

  void AddCheckValve(const CheckValve& valve) {
    const bool shut = State() == FlowState::kShut;
    Values values;
    if (valve.condition != "sound") values.push_back(valve.condition);
    if (shut) values.push_back("shut");
    Add(valve, valve.to, Cat("check valve, ", valve.kind, ","),
        options_.check_valve == "dot" ? Symbol::kCheckDot : Symbol::kCheckArrow, shut,
        WithDrop(std::move(values)));
  }

  void AddPump(const Pump& pump) {
    Values values = {pump.running ? "running" : "stopped"};
    if (pump.running && pump.speed != 1.0) {
      values = {Cat("speed ", ShownValues::Percent(pump.speed))};
    }
    if (solution_ != nullptr && pump.running) {
      values.push_back(Cat("head ", shown_.Length(-solution_->drop()[parts_.components.size()])));
    }
    Add(pump, pump.to, "pump",
        pump.kind == "centrifugal" ? Symbol::kPump : Symbol::kDisplacementPump, !pump.running,
        std::move(values));
  }

  void AddRegulator(const Regulator& regulator) {
    Values values = {Cat("set ", regulator.set_pressure
                                     ? shown_.Pressure(*regulator.set_pressure)
                                     : shown_.Flow(regulator.set_flow.value_or(0.0)))};
    if (const auto state = State()) {
      values.push_back(state == FlowState::kOpen || state == FlowState::kForward
                           ? "wide open"
                           : std::string(FlowStateName(*state)));
    }
    Add(regulator, regulator.to, Cat("regulator, ", regulator.kind, ","),
        SymbolOfRegulator(regulator.kind), State() == FlowState::kShut,
        WithDrop(std::move(values)));
  }

  // The state of the component that is added next; empty without a solution.
  std::optional<FlowState> State() const {
    if (solution_ == nullptr) return std::nullopt;
    return solution_->state()[parts_.components.size()];
  }

  double Flow() const { return solution_->flow()[parts_.components.size()]; }

  // The drop as a pressure, where something flows.
  Values WithDrop(Values values) const {
    if (solution_ == nullptr || !(std::abs(Flow()) >= kLeastShownFlow)) return values;
    const double drop = solution_->drop()[parts_.components.size()];
    const double weight = solution_->liquid().density * network_.site.gravity;
    values.push_back(Cat("drop ", shown_.Pressure(std::abs(drop) * weight)));
    return values;
  }

  template <typename Part>
  void Add(const Part& part, const std::string& to, std::string_view kind, Symbol symbol, bool idle,
           Values values) {
    std::erase(values, "");
    DrawnComponent component{
        .symbol = symbol,
        .idle = idle,
        .ends = {point_of_.at(part.from), to.empty() ? kOpenAir : point_of_.at(to)},
        .words = {.name = part.name, .values = std::move(values)},
        .pin = PinOf(part)};
    component.words.description = Cat(Described(kind, component.words), ", from ", part.from,
                                      " to ", to.empty() ? std::string("the open air") : to);
    if (solution_ != nullptr) AddFlow(&component);
    parts_.components.push_back(std::move(component));
  }

  void AddFlow(DrawnComponent* component) const {
    const std::size_t index = parts_.components.size();
    component->flow = Flow();
    const bool flows = std::abs(component->flow) >= kLeastShownFlow;
    const bool back = flows && component->flow < 0.0;
    component->sense =
        !flows ? FlowSense::kNone : (back ? FlowSense::kBackward : FlowSense::kForward);
    component->flow_text =
        flows ? Cat(shown_.Flow(component->flow), back ? " back" : "") : "no flow";
    component->words.description += Cat(": ", component->flow_text);
    const double velocity = solution_->velocity()[index];
    if (flows && !std::isnan(velocity)) {
      component->words.description += Cat(", ", shown_.Velocity(velocity));
    }
    if (solution_->leak()[index] > 0.0) {
      const std::string leak = Cat("leaks ", shown_.Flow(solution_->leak()[index]));
      component->words.values.push_back(leak);
      component->words.description += Cat(", ", leak);
    }
  }

  // --- Findings ---

  void AddFindings() {
    if (solution_ == nullptr) return;
    std::unordered_map<std::string_view, DrawnWords*> words_of;
    for (DrawnPoint& point : parts_.points) words_of.emplace(point.words.name, &point.words);
    for (DrawnComponent& part : parts_.components) words_of.emplace(part.words.name, &part.words);
    int count[3] = {0, 0, 0};
    for (const Advice& advice : solution_->advice()) {
      const int rank = advice.severity == "danger" ? 0 : (advice.severity == "warning" ? 1 : 2);
      const auto found = words_of.find(advice.component);
      if (found != words_of.end()) found->second->findings.push_back(parts_.findings.size());
      parts_.findings.push_back({Cat(std::string(1, "DWN"[rank]), std::to_string(++count[rank])),
                                 advice.severity, advice.component, advice.message});
    }
  }

  const Network& network_;
  const Solution* solution_;
  const DiagramOptions& options_;
  ShownValues shown_;
  DrawnParts parts_;
  std::unordered_map<std::string, int> point_of_;
};

}  // namespace

DrawnParts MakeDrawnParts(const Network& network, const Solution* solution,
                          const DiagramOptions& options) {
  return PartMaker(network, solution, options).Make();
}

}  // namespace handwheel
