#include "batch/outputs.h"

#include <algorithm>

#include "handwheel/errors.h"
#include "text/cat.h"

namespace handwheel {
namespace {

bool IsByPoint(BatchReading reading) {
  return reading == BatchReading::kHead || reading == BatchReading::kPressure;
}

}  // namespace

std::span<const double> RowReadings::Of(BatchReading reading) const {
  switch (reading) {
    case BatchReading::kFlow:
      return flow;
    case BatchReading::kVelocity:
      return velocity;
    case BatchReading::kDrop:
      return drop;
    case BatchReading::kHead:
      return head;
    case BatchReading::kPressure:
      return pressure;
  }
  return {};
}

BatchOutputs::BatchOutputs(const CompiledNetwork& compiled, std::span<const BatchOutput> outputs,
                           std::size_t num_rows)
    : outputs_(outputs) {
  for (const BatchOutput& output : outputs) {
    const bool by_point = IsByPoint(output.reading);
    const std::size_t count =
        by_point ? compiled.point_names().size() : compiled.component_names().size();
    for (const std::size_t index : output.of) {
      if (index < count) continue;
      throw SettingError(Cat("an output asks for ", by_point ? "point" : "component", " number ",
                             std::to_string(index), "; expected less than ", std::to_string(count),
                             "."));
    }
    const std::size_t width = output.of.empty() ? count : output.of.size();
    if (output.into.size() != width * num_rows) {
      throw SettingError(Cat("an output's array holds ", std::to_string(output.into.size()),
                             " numbers; expected ", std::to_string(width), " for each of ",
                             std::to_string(num_rows), " scenarios."));
    }
    widths_.push_back(width);
  }
}

void BatchOutputs::Write(std::size_t row, const RowReadings& readings) const {
  for (std::size_t i = 0; i < outputs_.size(); ++i) {
    const std::span<const double> values = readings.Of(outputs_[i].reading);
    double* into = outputs_[i].into.data() + row * widths_[i];
    if (outputs_[i].of.empty()) {
      std::copy(values.begin(), values.end(), into);
    } else {
      for (const std::size_t index : outputs_[i].of) *into++ = values[index];
    }
  }
}

void BatchOutputs::WriteNothing(std::size_t row) const {
  for (std::size_t i = 0; i < outputs_.size(); ++i) {
    std::fill_n(outputs_[i].into.data() + row * widths_[i], widths_[i],
                std::numeric_limits<double>::quiet_NaN());
  }
}

bool BatchOutputs::Wants(BatchReading reading) const {
  return std::any_of(outputs_.begin(), outputs_.end(),
                     [&](const BatchOutput& output) { return output.reading == reading; });
}

}  // namespace handwheel
