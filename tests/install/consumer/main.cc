#include <cmath>
#include <iostream>

#include "handwheel/handwheel.h"
#ifdef HAVE_DRAWING
#include "handwheel/diagram.h"
#endif
#ifdef HAVE_OPTIMISE
#include "handwheel/optimise.h"
#endif

int main(int argc, char** argv) {
  if (argc != 2) return 2;
  const handwheel::Network network = handwheel::LoadNetwork(argv[1]);
  const handwheel::Solution solution = handwheel::Solve(network);
  std::cout << solution.summary().message << "\n";
  bool ok = solution.converged();
#ifdef HAVE_OPTIMISE
  const handwheel::Solution other =
      handwheel::optimise::Solve(network, {.method = handwheel::Method::kTrustRegion});
  std::cout << other.summary().message << "\n";
  ok = ok && other.converged();
#endif
#ifdef HAVE_DRAWING
  ok = ok && handwheel::drawing::DrawSvg(solution).starts_with("<svg ");
#endif
  return ok ? 0 : 1;
}
