#include "json_report.h"

#include "handwheel/readings.h"
#include "json.h"
#include "output.h"

namespace handwheel::shell {
namespace {

// Appends without a search for the name, which would take quadratic time in a large network.
class ObjectOf {
 public:
  void Add(const std::string& name, Json value) { members().emplace_back(name, std::move(value)); }
  Json Take() { return std::move(object_); }

 private:
  Json::object_t::Container& members() { return object_; }
  Json::object_t object_;
};

Json AsJson(const Scalar& scalar) {
  return std::visit([](const auto& x) { return Json(x); }, scalar);
}

Json AsJson(const Value& value) {
  if (const bool* on = std::get_if<bool>(&value)) return *on;
  if (const double* number = std::get_if<double>(&value)) return Number(*number);
  if (const std::string* text = std::get_if<std::string>(&value)) return *text;
  Json rows = Json::array();
  for (const auto& [first, second] : std::get<Rows>(value)) {
    rows.push_back(Json::array({AsJson(first), AsJson(second)}));
  }
  return rows;
}

Json AsJson(const Settings& settings) {
  Json object = Json::object();
  for (const auto& [target, value] : settings) object[target] = AsJson(value);
  return object;
}

Json AsJson(const SteadySummary& summary) {
  return {{"method", MethodName(summary.method)},
          {"message", summary.message},
          {"num_iterations", summary.num_iterations},
          {"max_flow_imbalance", Number(summary.max_flow_imbalance)},
          {"max_head_imbalance", Number(summary.max_head_imbalance)},
          {"worst_point", summary.worst_point},
          {"worst_component", summary.worst_component},
          {"contradicting", summary.contradicting}};
}

Json Units() {
  return {{"head", "m"},
          {"pressure", "Pa gauge"},
          {"outflow", "m3/s"},
          {"flow", "m3/s"},
          {"velocity", "m/s"},
          {"drop", "m"},
          {"leak", "m3/s"},
          {"reading", "SI; Kv in m3/h; pressures absolute unless held or excess"},
          {"max_flow_imbalance", "m3/s"},
          {"max_head_imbalance", "m"}};
}

Json Points(const Solution& s) {
  ObjectOf points;
  for (std::size_t i = 0; i < s.point_names().size(); ++i) {
    points.Add(s.point_names()[i], {{"head", Number(s.head()[i])},
                                    {"pressure", Number(s.pressure()[i])},
                                    {"outflow", Number(s.outflow()[i])},
                                    {"shut_in", bool{s.shut_in()[i]}}});
  }
  return points.Take();
}

Json AsJson(const PipeReading& r) {
  return {{"regime", r.regime},
          {"reynolds", Number(r.reynolds)},
          {"lowest_pressure", Number(r.lowest_pressure)},
          {"deposition_velocity", Number(r.deposition_velocity)}};
}

Json AsJson(const ValveReading& r) {
  return {{"opening", Number(r.opening)},
          {"turns_open", Number(r.turns_open)},
          {"turns_in", Number(r.turns_in)},
          {"stem_travel", Number(r.travel)},
          {"kv_m3_per_h", Number(r.kv_m3_per_h)},
          {"reynolds_factor", Number(r.reynolds_factor)},
          {"recovery_factor", Number(r.recovery_factor)},
          {"inlet_pressure", Number(r.inlet_pressure)},
          {"outlet_pressure", Number(r.outlet_pressure)},
          {"drop_ratio", Number(r.drop_ratio)},
          {"cavitation_ratio", Number(r.cavitation_ratio)},
          {"choked_drop", Number(r.choked_drop)},
          {"choked", r.choked}};
}

Json AsJson(const CheckValveReading& r) {
  return {{"disc", r.disc},
          {"lift", Number(r.lift)},
          {"min_velocity", Number(r.min_velocity)},
          {"velocity_margin", Number(r.velocity_margin)},
          {"cracking_pressure", Number(r.cracking_pressure)},
          {"full_lift_drop", Number(r.full_lift_drop)}};
}

Json AsJson(const PumpReading& r) {
  return {{"head", Number(r.head)},
          {"speed", Number(r.speed)},
          {"efficiency", Number(r.efficiency)},
          {"shaft_power", Number(r.shaft_power)},
          {"npsh_available", Number(r.npsh_available)},
          {"npsh_required", Number(r.npsh_required)},
          {"npsh_margin", Number(r.npsh_margin)},
          {"flow_over_best", Number(r.flow_over_best)},
          {"best_flow_is_estimated", r.best_flow_is_estimated},
          {"region", r.region},
          {"specific_speed", Number(r.specific_speed)},
          {"flow_factor", Number(r.flow_factor)},
          {"head_factor", Number(r.head_factor)},
          {"efficiency_factor", Number(r.efficiency_factor)},
          {"reverse_speed", Number(r.reverse_speed)}};
}

Json AsJson(const RegulatorReading& r) {
  return {{"held_pressure", Number(r.held_pressure)}, {"opening", Number(r.opening)}};
}

Json AsJson(const ReliefValveReading& r) {
  return {
      {"excess", Number(r.excess)}, {"lift", Number(r.lift)}, {"rated_flow", Number(r.rated_flow)}};
}

// By component, network order; null for a part without readings.
std::vector<Json> ReadingsOf(const Solution& s) {
  std::vector<Json> list;
  const auto add = [&](const auto& readings) {
    for (const auto& reading : readings) list.push_back(AsJson(reading));
  };
  const Readings readings = TakeReadings(s);
  add(readings.pipes);
  add(readings.valves);
  add(readings.check_valves);
  add(readings.pumps);
  list.resize(list.size() + s.network().restrictions.size() + s.network().nozzles.size());
  add(readings.regulators);
  add(readings.relief_valves);
  return list;
}

Json Components(const Solution& s) {
  ObjectOf components;
  std::vector<Json> readings = ReadingsOf(s);
  for (std::size_t i = 0; i < s.component_names().size(); ++i) {
    components.Add(s.component_names()[i], {{"flow", Number(s.flow()[i])},
                                            {"velocity", Number(s.velocity()[i])},
                                            {"drop", Number(s.drop()[i])},
                                            {"leak", Number(s.leak()[i])},
                                            {"state", FlowStateName(s.state()[i])},
                                            {"reading", std::move(readings[i])}});
  }
  return components.Take();
}

Json AdviceList(const Solution& s) {
  Json list = Json::array();
  for (const Advice& advice : s.advice()) {
    list.push_back({{"component", advice.component},
                    {"kind", advice.kind},
                    {"severity", advice.severity},
                    {"message", advice.message},
                    {"check", advice.check},
                    {"caution", advice.caution},
                    {"value", Number(advice.value)},
                    {"limit", Number(advice.limit)}});
  }
  return list;
}

}  // namespace

std::string JsonReport(const Solution& solution, const std::string& case_name,
                       const Settings& settings) {
  const Json report = {{"title", solution.network().title},
                       {"case", case_name},
                       {"settings", AsJson(settings)},
                       {"converged", solution.converged()},
                       {"summary", AsJson(solution.summary())},
                       {"units", Units()},
                       {"points", Points(solution)},
                       {"components", Components(solution)},
                       {"advice", AdviceList(solution)},
                       {"caution", kCaution}};
  return Dump(report);
}

}  // namespace handwheel::shell
