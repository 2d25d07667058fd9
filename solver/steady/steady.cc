#include "handwheel/steady.h"

#include <cmath>
#include <cstdio>

#include "handwheel/errors.h"
#include "steady/hardy_cross.h"
#include "steady/solution_builder.h"

namespace handwheel {

Solution Solve(const Network& network, const SteadyOptions& options) {
  switch (options.method) {
    case Method::kNewton:
      return SolveWith(network, options, RunNewton);
    case Method::kHardyCross:
      return SolveWith(network, options, RunHardyCross);
    case Method::kTrustRegion:
      break;
  }
  throw SettingError(
      "method trust_region needs the library handwheel_optimise: call handwheel::optimise::Solve");
}

Solution Solve(const Network& network, const Settings& settings, const SteadyOptions& options) {
  Network changed = network;
  changed.Apply(settings);
  return Solve(changed, options);
}

bool SteadyOptions::IsValid(std::string* error) const {
  const auto positive = [&](const char* field, double value) {
    if (value > 0.0 && std::isfinite(value)) return true;
    *error = std::string(field) + " is " + std::to_string(value) + "; expected a value above 0";
    return false;
  };
  if (!positive("flow_tolerance", flow_tolerance) || !positive("head_tolerance", head_tolerance) ||
      !positive("step_tolerance", step_tolerance)) {
    return false;
  }
  if (max_num_iterations < 0) {
    *error = "max_num_iterations is " + std::to_string(max_num_iterations) +
             "; expected 0 (the method's own limit) or more";
    return false;
  }
  if (max_full_steps < 0) {
    *error = "max_full_steps is " + std::to_string(max_full_steps) + "; expected 0 or more";
    return false;
  }
  for (double q : initial_flow) {
    if (std::isfinite(q)) continue;
    *error = "initial_flow holds a value that is not finite";
    return false;
  }
  return true;
}

std::string SteadySummary::BriefReport() const {
  if (termination == Termination::kNotRun) return "not run";
  const char* outcome = termination == Termination::kConverged     ? "converged"
                        : termination == Termination::kInterrupted ? "was interrupted"
                                                                   : "did not converge";
  char text[256];
  std::snprintf(text, sizeof text,
                "%s %s after %d %s; flows balance within %.1e m3/s, heads within %.1e m",
                std::string(MethodName(method)).c_str(), outcome, num_iterations,
                method == Method::kHardyCross ? "passes" : "iterations", max_flow_imbalance,
                max_head_imbalance);
  std::string report = text;
  if (!contradicting.empty()) report += "; no flows were found that satisfy the settings of";
  for (const std::string& name : contradicting) report += " \"" + name + "\"";
  return report;
}

std::string_view MethodName(Method method) {
  switch (method) {
    case Method::kNewton:
      return "newton";
    case Method::kHardyCross:
      return "hardy_cross";
    case Method::kTrustRegion:
      return "trust_region";
  }
  return "";
}

std::optional<Method> MethodFromName(std::string_view name) {
  for (Method method : {Method::kNewton, Method::kHardyCross, Method::kTrustRegion}) {
    if (MethodName(method) == name) return method;
  }
  return std::nullopt;
}

std::string_view FlowStateName(FlowState state) {
  switch (state) {
    case FlowState::kOpen:
      return "open";
    case FlowState::kShut:
      return "shut";
    case FlowState::kForward:
      return "forward";
    case FlowState::kRunning:
      return "running";
    case FlowState::kStopped:
      return "stopped";
    case FlowState::kHolding:
      return "holding";
    case FlowState::kLimiting:
      return "limiting";
    case FlowState::kChoked:
      return "choked";
  }
  return "";
}

}  // namespace handwheel
