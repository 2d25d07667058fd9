#pragma once

#include <optional>

#include "components/pump_law.h"
#include "correlations/pump_correlations.h"
#include "handwheel/components.h"
#include "handwheel/fluid.h"

namespace handwheel {

// What follows from a centrifugal pump's data, at full speed and for the liquid pumped.
struct PumpData {
  PumpCurve curve;               // as pumped: corrected for viscosity, without a drooping part
  double rated_flow = 0.0;       // of best efficiency [m³/s], as pumped
  double rated_head = 0.0;       // there [m]
  double best_efficiency = 0.0;  // of water, if given [-]; else 0
  std::optional<double> specific_speed{};  // per stage, of water, if rpm is given
  // ANSI/HI 9.6.7; empty without rpm.
  std::optional<ViscousCorrection> correction{};
  // Of a curve that first rises: its head at no flow and its peak, as pumped. Below the flow of the
  // peak `curve` stands level (but for a millionth) at the peak's head: of the two flows that the
  // pump could have at a head between, it finds the larger, at which it runs stably.
  struct Droop {
    double shutoff_head;  // [m]
    double peak_flow;     // [m³/s]
    double peak_head;     // [m]
  };
  std::optional<Droop> droop{};
};

PumpData DescribePump(const Pump& pump, const Liquid& liquid);

}  // namespace handwheel
