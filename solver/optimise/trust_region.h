#pragma once

#include "steady/solution_builder.h"

namespace handwheel {

// A least-squares route to the steady state, sharing the laws with the other methods and nothing
// else: Levenberg-Marquardt (Ceres Solver) on the residuals of mass and energy,
//   (net inflow - net draw) / flow scale        at every junction,
//   (head difference - drop(flow)) / head scale  at every component,
// in unknown heads and flows.
//
// A one-way part is a line bent at rest: from a point x < 0 standing for flow 0 and head withheld,
// to x > 0 standing for flow. Bent sharply, such lines stall a least-squares solver at points where
// a residual is left but no part can see it (a draw behind check valves that all rest). So the bend
// is rounded,
//   flow ~ (x + sqrt(x² + 4 mu²)) / 2,   head withheld ~ (sqrt(x² + 4 mu²) - x) / 2,
// whose product is mu² (Chen & Mangasarian, Math. Program. 71, 1995; Kanzow, SIAM J. Matrix Anal.
// Appl. 17, 1996). With mu > 0 flow and drop both rise strictly with x, the Jacobian is regular,
// and so every stationary point of the sum of squares is a solution. mu goes to zero by stages,
// each starting from the last; the final one is bent sharply and gives the answer. That this end is
// reached from any network is experience, not proof; where it is not, the summary says so.
MethodResult RunTrustRegion(const Plan& plan, const SteadyOptions& options, SteadySummary* summary);

}  // namespace handwheel
