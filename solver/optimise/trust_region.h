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
// to x > 0 standing for flow. So nothing opens or shuts from step to step. But such bends can stall
// a least-squares solver where a residual is left that no part can see (a draw behind check valves
// that all rest). Then the run starts again with the bends rounded,
//   flow ~ (x + sqrt(x² + 4 mu²)) / 2,   head withheld ~ (sqrt(x² + 4 mu²) - x) / 2,
// whose product is mu² (Chen & Mangasarian, Math. Program. 71, 1995; Kanzow, SIAM J. Matrix Anal.
// Appl. 17, 1996), and a leak of mu on top so that a zone with nowhere to go has a finite solution.
// With mu > 0 flow and drop both rise strictly with x, the Jacobian is regular, and so every
// stationary point of the sum of squares is a solution. mu goes to zero by stages, each starting
// from the last; the final one is sharp again and gives the answer. That this end is reached from
// any network is experience, not proof; where it is not, the summary says so.
MethodResult RunTrustRegion(const Plan& plan, const SteadyOptions& options, SteadySummary* summary);

}  // namespace handwheel
