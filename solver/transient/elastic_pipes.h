#pragma once

#include <cstddef>
#include <vector>

#include "transient/reach_friction.h"

namespace handwheel {

// Pipes as waves run through them: the method of characteristics at Courant number 1. Each pipe has
// its places 0 (at `from`) .. n (at `to`), a reach apart. With B = a/(gA) and f the friction of a
// reach, from one step to the next
//   C+:  H_P + B Q_P + f(Q_P)/2 = H_A + B Q_A - f(Q_A)/2     A the neighbour towards `from`
//   C-:  H_P - B Q_P - f(Q_P)/2 = H_B - B Q_B + f(Q_B)/2     B the neighbour towards `to`
// which is the trapezoidal rule along both characteristics: second order, and exact in steady flow.
// f(Q_P) is taken along its tangent at a predicted Q. With the trapezoidal rule in time at both
// ends the liquid is conserved to round-off: what a pipe stores is
//   (dt/B) [ H_0/2 + H_1 + ... + H_n/2 + (f(Q_n) - f(Q_0))/4 ].
//
// Where liquid would fall below its vapour head a cavity holds that head, and the flows on its two
// sides part (discrete cavities; Wylie and Streeter, from memory, with psi = 1). In the step in
// which it shuts, it takes up just what is left of it, so that no liquid is lost.
class ElasticPipes {
 public:
  struct Shape {
    int component;
    int from, to;  // points
    int reaches;
    double impedance;  // B [s/m²]
  };

  explicit ElasticPipes(double time_step, bool cavities)
      : time_step_(time_step), cavities_(cavities) {}

  // Heads fall evenly along it. `vapour_head` by place [m].
  void Add(const Shape& shape, ReachFriction friction, double head_from, double head_to,
           double flow, const std::vector<double>& vapour_head);

  // An end as the point where it ends sees it: it brings (c - H)/b [m³/s], H the head there.
  struct End {
    int pipe;
    bool at_to;
    int point;
    double c = 0.0;                            // [m]
    double b = 0.0;                            // [s/m²]
    double flow = 0.0;                         // from -> to [m³/s]
    double arrived = 0.0;                      // by the characteristic that ends here [m]
    double q0 = 0.0, drop = 0.0, slope = 0.0;  // tangent of the friction
  };
  std::vector<End>& ends() { return ends_; }
  const std::vector<End>& ends() const { return ends_; }

  // The inner places, and what arrives at the ends.
  void Advance();
  // With the head at its point known; until then it may be asked again, about another tangent.
  void SetEnd(End* end, double head);
  // Whether the tangent of the friction was off by more than `tolerance` [m]; then it is moved.
  bool MoveTangent(End* end, double head, double tolerance);
  void FinishStep();

  std::size_t num_pipes() const { return pipes_.size(); }
  std::size_t num_places() const { return head_.size(); }
  const Shape& shape(std::size_t pipe) const { return pipes_[pipe].shape; }
  double FlowFrom(std::size_t pipe) const { return leaving_[pipes_[pipe].first]; }
  double FlowTo(std::size_t pipe) const { return arriving_[Last(pipes_[pipe])]; }
  const double* Highest(std::size_t pipe) const { return &highest_[pipes_[pipe].first]; }
  const double* Lowest(std::size_t pipe) const { return &lowest_[pipes_[pipe].first]; }
  double LargestCavity(std::size_t pipe) const { return pipes_[pipe].largest_cavity; }
  bool HasCavity(std::size_t pipe) const { return pipes_[pipe].open_cavities > 0; }

  // Liquid beyond what the pipes hold at head 0, less cavities [m³].
  double Stored() const;

 private:
  struct Pipe {
    Shape shape;
    ReachFriction friction;
    std::size_t first;  // place 0 in the arrays
    double largest_cavity = 0.0;
    int open_cavities = 0;
  };
  static std::size_t Last(const Pipe& pipe) {
    return pipe.first + static_cast<std::size_t>(pipe.shape.reaches);
  }
  void AdvanceInside(Pipe* pipe);
  void HoldCavity(Pipe* pipe, std::size_t place, double from_left, double from_right, double flow,
                  double friction);
  void Arrive(End* end) const;
  void TakeTangent(End* end, double q) const;

  double time_step_;
  bool cavities_;
  std::vector<Pipe> pipes_;
  std::vector<End> ends_;
  // By place. Flows that arrive from the left and leave to the right differ at a cavity; so do the
  // friction of a reach at them.
  std::vector<double> head_, arriving_, leaving_, arriving_friction_, leaving_friction_;
  std::vector<double> next_head_, next_arriving_, next_leaving_, next_arriving_friction_,
      next_leaving_friction_;
  std::vector<double> vapour_head_, cavity_, cavity_shrinks_;  // [m], [m³], [m³/s]
  std::vector<double> highest_, lowest_;                       // [m]
};

}  // namespace handwheel
