#include "json_report.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "output.h"

namespace handwheel::shell {
namespace {

using Json = nlohmann::ordered_json;

Json Number(double value) {
  return std::isfinite(value) ? Json(value) : Json(nullptr);
}

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
          {"worst_component", summary.worst_component}};
}

Json Units() {
  return {{"head", "m"},
          {"pressure", "Pa gauge"},
          {"outflow", "m3/s"},
          {"flow", "m3/s"},
          {"velocity", "m/s"},
          {"drop", "m"},
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

Json Components(const Solution& s) {
  ObjectOf components;
  for (std::size_t i = 0; i < s.component_names().size(); ++i) {
    components.Add(s.component_names()[i], {{"flow", Number(s.flow()[i])},
                                            {"velocity", Number(s.velocity()[i])},
                                            {"drop", Number(s.drop()[i])},
                                            {"state", FlowStateName(s.state()[i])}});
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
  return report.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace handwheel::shell
