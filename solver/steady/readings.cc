#include "handwheel/readings.h"

namespace handwheel {

Readings TakeReadings(const Solution& solution) {
  return {.pipes = ReadPipes(solution),
          .valves = ReadValves(solution),
          .check_valves = ReadCheckValves(solution),
          .pumps = ReadPumps(solution),
          .regulators = ReadRegulators(solution),
          .relief_valves = ReadReliefValves(solution)};
}

}  // namespace handwheel
