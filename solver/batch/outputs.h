#pragma once

#include <algorithm>
#include <limits>
#include <vector>

#include "handwheel/batch.h"

namespace handwheel {

// An imbalance as a share of the largest flow; of a plant at rest, of a flow that nobody minds.
inline double ShareOfFlow(double imbalance, double largest_flow) {
  constexpr double kNobodyMinds = 1e-9;  // [m³/s]
  return imbalance / std::max(largest_flow, kNobodyMinds);
}

// One scenario's readings in network order.
struct RowReadings {
  std::span<const double> flow, velocity, drop;  // by component
  std::span<const double> head, pressure;        // by point

  std::span<const double> Of(BatchReading reading) const;
};

// The caller's arrays, checked. Rows are written by whichever thread has them.
class BatchOutputs {
 public:
  // Throws SettingError for an index or a size that does not fit. `outputs` must outlive this.
  BatchOutputs(const CompiledNetwork& compiled, std::span<const BatchOutput> outputs,
               std::size_t num_rows);

  void Write(std::size_t row, const RowReadings& readings) const;
  void WriteNothing(std::size_t row) const;  // NaN
  bool Wants(BatchReading reading) const;

 private:
  std::span<const BatchOutput> outputs_;
  std::vector<std::size_t> widths_;
};

}  // namespace handwheel
