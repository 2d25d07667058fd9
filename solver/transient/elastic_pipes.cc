#include "transient/elastic_pipes.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace handwheel {

void ElasticPipes::Add(const Shape& shape, ReachFriction friction, double head_from, double head_to,
                       double flow, const std::vector<double>& vapour_head) {
  const int index = static_cast<int>(pipes_.size());
  pipes_.push_back({.shape = shape, .friction = std::move(friction), .first = head_.size()});
  const double drop = pipes_.back().friction.At(flow).drop;
  const auto places = static_cast<std::size_t>(shape.reaches) + 1;
  for (std::size_t i = 0; i < places; ++i) {
    const double share = static_cast<double>(i) / shape.reaches;
    head_.push_back(head_from + share * (head_to - head_from));
    // Nothing happens where liquid stands below its vapour head from the start: the advice on a
    // steady state is about that.
    vapour_head_.push_back(std::min(vapour_head[i], head_.back()));
  }
  const auto extend = [&](double value, auto&... arrays) {
    (arrays.insert(arrays.end(), places, value), ...);
  };
  extend(flow, arriving_, leaving_, next_arriving_, next_leaving_);
  extend(drop, arriving_friction_, leaving_friction_, next_arriving_friction_,
         next_leaving_friction_);
  extend(0.0, next_head_, cavity_, cavity_shrinks_);
  highest_ = head_;
  lowest_ = head_;
  for (const bool at_to : {false, true}) {
    End end{.pipe = index, .at_to = at_to, .point = at_to ? shape.to : shape.from};
    end.flow = flow;
    ends_.push_back(end);
  }
}

void ElasticPipes::Advance() {
  for (Pipe& pipe : pipes_) AdvanceInside(&pipe);
  for (End& end : ends_) Arrive(&end);
}

void ElasticPipes::AdvanceInside(Pipe* pipe) {
  const double b = pipe->shape.impedance, per_2b = 0.5 / b;
  const std::size_t last = Last(*pipe);
  for (std::size_t i = pipe->first + 1; i < last; ++i) {
    const double from_left = head_[i - 1] + b * leaving_[i - 1] - 0.5 * leaving_friction_[i - 1];
    const double from_right = head_[i + 1] - b * arriving_[i + 1] + 0.5 * arriving_friction_[i + 1];
    const double mean = 0.5 * (leaving_friction_[i - 1] + arriving_friction_[i + 1]);
    const double predicted = (from_left - from_right - mean) * per_2b;
    const DropSlope at = pipe->friction.At(predicted);
    const double change = (mean - at.drop) / (2.0 * b + at.slope);
    const double flow = predicted + change;
    const double friction = at.drop + at.slope * change;
    const double head = 0.5 * (from_left + from_right);
    next_head_[i] = head;
    next_arriving_[i] = next_leaving_[i] = flow;
    next_arriving_friction_[i] = next_leaving_friction_[i] = friction;
    if (cavities_ && (head < vapour_head_[i] || cavity_[i] > 0.0 || cavity_shrinks_[i] != 0.0)) {
      HoldCavity(pipe, i, from_left, from_right, flow, friction);
    }
  }
}

void ElasticPipes::HoldCavity(Pipe* pipe, std::size_t i, double from_left, double from_right,
                              double flow, double friction) {
  const double b = pipe->shape.impedance, head = vapour_head_[i];
  if (cavity_[i] <= 0.0 && next_head_[i] >= head) {  // shut for good
    cavity_shrinks_[i] = 0.0;
    return;
  }
  const DropSlope left = pipe->friction.At(arriving_[i]), right = pipe->friction.At(leaving_[i]);
  const double arriving =
      (from_left - 0.5 * (left.drop - left.slope * arriving_[i]) - head) / (b + 0.5 * left.slope);
  const double leaving = (head - from_right - 0.5 * (right.drop - right.slope * leaving_[i])) /
                         (b + 0.5 * right.slope);
  const double shrinks = arriving - leaving, left_over = cavity_[i] - time_step_ * shrinks;
  if (left_over > 0.0) {
    if (cavity_[i] <= 0.0) ++pipe->open_cavities;
    next_head_[i] = head;
    next_arriving_[i] = arriving;
    next_leaving_[i] = leaving;
    next_arriving_friction_[i] = left.drop + left.slope * (arriving - arriving_[i]);
    next_leaving_friction_[i] = right.drop + right.slope * (leaving - leaving_[i]);
    cavity_[i] = left_over;
    cavity_shrinks_[i] = shrinks;
    pipe->largest_cavity = std::max(pipe->largest_cavity, left_over);
    return;
  }
  const double rest = cavity_[i] / time_step_;
  if (cavity_[i] > 0.0) --pipe->open_cavities;
  next_arriving_[i] = flow + 0.5 * rest;
  next_leaving_[i] = flow - 0.5 * rest;
  next_head_[i] = from_left - b * next_arriving_[i] - 0.5 * friction;
  cavity_[i] = 0.0;
  cavity_shrinks_[i] = rest;
}

void ElasticPipes::Arrive(End* end) const {
  const Pipe& pipe = pipes_[static_cast<std::size_t>(end->pipe)];
  const double b = pipe.shape.impedance;
  if (end->at_to) {
    const std::size_t i = Last(pipe) - 1;
    end->arrived = head_[i] + b * leaving_[i] - 0.5 * leaving_friction_[i];
  } else {
    const std::size_t i = pipe.first + 1;
    end->arrived = head_[i] - b * arriving_[i] + 0.5 * arriving_friction_[i];
  }
  TakeTangent(end, end->flow);
}

void ElasticPipes::TakeTangent(End* end, double q) const {
  const Pipe& pipe = pipes_[static_cast<std::size_t>(end->pipe)];
  const DropSlope at = pipe.friction.At(q);
  end->q0 = q;
  end->drop = at.drop;
  end->slope = at.slope;
  const double at_rest = 0.5 * (at.drop - at.slope * q);
  end->c = end->arrived + (end->at_to ? -at_rest : at_rest);
  end->b = pipe.shape.impedance + 0.5 * at.slope;
}

bool ElasticPipes::MoveTangent(End* end, double head, double tolerance) {
  const double brings = (end->c - head) / end->b;
  const double flow = end->at_to ? brings : -brings;
  const DropSlope at = pipes_[static_cast<std::size_t>(end->pipe)].friction.At(flow);
  if (std::abs(at.drop - end->drop - end->slope * (flow - end->q0)) <= tolerance) return false;
  TakeTangent(end, flow);
  return true;
}

void ElasticPipes::SetEnd(End* end, double head) {
  const Pipe& pipe = pipes_[static_cast<std::size_t>(end->pipe)];
  const double brings = (end->c - head) / end->b;
  end->flow = end->at_to ? brings : -brings;
  const std::size_t i = end->at_to ? Last(pipe) : pipe.first;
  next_head_[i] = head;
  next_arriving_[i] = next_leaving_[i] = end->flow;
  next_arriving_friction_[i] = next_leaving_friction_[i] =
      end->drop + end->slope * (end->flow - end->q0);
}

void ElasticPipes::FinishStep() {
  std::swap(head_, next_head_);
  std::swap(arriving_, next_arriving_);
  std::swap(leaving_, next_leaving_);
  std::swap(arriving_friction_, next_arriving_friction_);
  std::swap(leaving_friction_, next_leaving_friction_);
  const std::size_t count = head_.size();
  for (std::size_t i = 0; i < count; ++i) {
    highest_[i] = std::max(highest_[i], head_[i]);
    lowest_[i] = std::min(lowest_[i], head_[i]);
  }
}

double ElasticPipes::Stored() const {
  double stored = 0.0;
  for (const Pipe& pipe : pipes_) {
    const std::size_t last = Last(pipe);
    double heads = 0.5 * (head_[pipe.first] + head_[last]) +
                   0.25 * (arriving_friction_[last] - leaving_friction_[pipe.first]);
    double cavities = 0.0;
    for (std::size_t i = pipe.first + 1; i < last; ++i) {
      heads += head_[i] + 0.25 * (arriving_friction_[i] - leaving_friction_[i]);
      cavities += cavity_[i] + 0.5 * time_step_ * cavity_shrinks_[i];
    }
    stored += time_step_ / pipe.shape.impedance * heads - cavities;
  }
  return stored;
}

}  // namespace handwheel
