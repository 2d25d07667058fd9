#pragma once

#include <cstddef>
#include <memory>
#include <new>

namespace handwheel {

inline constexpr std::size_t kMostLanes = 16;

// Numbers by index and lane: element (i, lane) stands at i * lanes + lane.
class LaneArray {
 public:
  LaneArray() = default;
  LaneArray(std::size_t count, std::size_t lanes)
      : data_(static_cast<double*>(
            ::operator new[]((count * lanes + 1) * sizeof(double), std::align_val_t{kAlignment}))) {
    for (std::size_t i = 0; i < count * lanes; ++i) data_[i] = 0.0;
  }

  double* data() { return data_.get(); }
  const double* data() const { return data_.get(); }

 private:
  static constexpr std::size_t kAlignment = 64;
  struct Free {
    void operator()(double* p) const { ::operator delete[](p, std::align_val_t{kAlignment}); }
  };
  std::unique_ptr<double[], Free> data_;
};

// One scenario per lane, each at its own point of its own iteration.
struct LaneArrays {
  // By component: flow [m³/s], conductance y = 1/slope [m²/s], misfit = head difference - drop [m].
  LaneArray flow, conductance, misfit;
  // By node: head [m], its correction [m], the right-hand side, and what is fed in [m³/s].
  LaneArray head, correction, right_side, feed;
  // By valve: turbulent resistance, infinite if shut [s²/m⁵]; valve Reynolds number per flow; the
  // one from which the flow is turbulent [-].
  LaneArray valve_r, valve_rev_per_flow, valve_turbulent_from;
  LaneArray root;             // by pipe: y of the law of the wall, SolveLogLaw() in friction.h
  LaneArray values, scratch;  // of the elimination

  // By lane, of the last sweep.
  alignas(64) double head_misfit[kMostLanes];  // largest [m]
  alignas(64) double step[kMostLanes];         // largest, of any flow towards its own curve [m³/s]
  alignas(64) double change[kMostLanes];       // largest, of any flow [m³/s]
  alignas(64) double largest_flow[kMostLanes];  // [m³/s]
};

}  // namespace handwheel
