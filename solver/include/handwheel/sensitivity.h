#pragma once

#include <string>
#include <vector>

#include "handwheel/steady.h"

namespace handwheel {

// How everything follows one setting, per SI unit of it, at one steady state.
struct Sensitivity {
  std::string target{};            // "HV-3.opening"
  double value = 0.0;              // of the setting there, SI
  std::vector<double> flow{};      // by component, network order [m³/s]
  std::vector<double> velocity{};  // by component [m/s]; NaN without a bore
  std::vector<double> drop{};      // by component [m]; NaN where an end is shut in
  std::vector<double> head{};      // by point, network order [m]; NaN where the point is shut in
  std::vector<double> pressure{};  // by point [Pa]; NaN likewise
};

struct Sensitivities {
  Solution solution;
  std::vector<Sensitivity> by_target{};  // in the order asked for

  std::string Report() const;  // a table of flows for a screen
};

// Derivatives of all flows, heads and pressures by any numeric properties: openings, speeds,
// levels, draws, roughness, bores, set pressures, "fluid.viscosity". The equations are linearised
// at the solution and factorised once, and one back-substitution serves each target (forward
// sensitivities); only how each law follows its own data is found by differences, of the law alone.
// Where the state stands on a border (a check valve just shut, a valve just choking), it is the
// derivative of the side the solution is said to be on.
//
// Throws SettingError for a target that is unknown or no number, NetworkError as Solve() does; if
// the solve did not converge, by_target is empty and solution.summary() says why.
Sensitivities ComputeSensitivities(const Network& network, const std::vector<std::string>& targets,
                                   const SteadyOptions& options = {});

}  // namespace handwheel
