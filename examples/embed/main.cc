// How does a host program ask what every vessel gets when a valve is throttled?
//
// It loads the network once and, for each opening, sets it and solves. The library neither prints
// nor exits: a mistake in the file or a setting arrives as handwheel::Error before anything is
// solved, and a solve that does not converge says so in its summary.

#include <cstdio>
#include <string>

#include "handwheel/handwheel.h"

namespace {

constexpr double kSecondsPerHour = 3600.0;

void PrintHeading(const handwheel::Network& network, const std::string& valve) {
  std::printf("%s: into each vessel, m3/h\n%8s", network.title.c_str(), valve.c_str());
  for (const handwheel::Vessel& vessel : network.vessels) {
    std::printf("%20s", vessel.name.c_str());
  }
  std::printf("\n");
}

// False if there is no answer.
bool PrintRow(const handwheel::Network& network, const std::string& valve, double opening) {
  const handwheel::Solution solution = handwheel::Solve(network, {{valve + ".opening", opening}});
  if (!solution.converged()) {
    std::fprintf(stderr, "%s\n", solution.summary().BriefReport().c_str());
    return false;
  }
  std::printf("%7.0f%%", 100.0 * opening);
  for (std::size_t i = 0; i < network.vessels.size(); ++i) {  // vessels are the first points
    std::printf("%20.2f", solution.outflow()[i] * kSecondsPerHour);
  }
  std::printf("\n");
  return true;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) {
    std::fprintf(stderr, "usage: throttle FILE [VALVE]\n");
    return 2;
  }
  const std::string valve = argc > 2 ? argv[2] : "HV-3";
  try {
    const handwheel::Network network = handwheel::LoadNetwork(argv[1]);
    PrintHeading(network, valve);
    for (double opening : {1.0, 0.6, 0.4, 0.2, 0.0}) {
      if (!PrintRow(network, valve, opening)) return 1;
    }
  } catch (const handwheel::Error& error) {
    std::fprintf(stderr, "throttle: %s\n", error.what());
    return 2;
  }
  std::printf(
      "Estimates: try a new setting in small steps, as the site's rules and a licensed engineer "
      "allow.\n");
}
