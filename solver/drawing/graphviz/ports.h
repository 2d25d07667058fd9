#pragma once

#include <vector>

#include "handwheel/diagram.h"

namespace handwheel::drawing {

// Stretches headers towards the runs that leave them, and says where every wire ends.
class Ports {
 public:
  Ports(const DiagramGraph& graph, std::vector<DiagramPlace>* places);

  DiagramPoint From(std::size_t wire) const { return At(graph_.wires[wire].from, from_y_[wire]); }
  DiagramPoint To(std::size_t wire) const { return At(graph_.wires[wire].to, to_y_[wire]); }
  // Whether a line from end to end is level, runs out of the sides it should, and meets no box.
  bool IsStraight(std::size_t wire) const;

 private:
  struct Meeting {  // of a wire with a box whose port is free
    std::size_t wire;
    bool is_from;
    double wish;  // the height of the other end
    bool is_straight;
  };

  DiagramPoint At(const DiagramEnd& end, double y) const;
  bool IsFree(double y, double left, double right, int box_a, int box_b) const;
  std::vector<std::vector<Meeting>> MeetingsByBox() const;
  void Stretch(std::size_t box, const std::vector<Meeting>& meetings);
  void Share(std::size_t box, DiagramSide side, const std::vector<Meeting>& meetings);

  const DiagramGraph& graph_;
  std::vector<DiagramPlace>& places_;
  std::vector<double> from_y_, to_y_;  // on the sheet [mm]
};

}  // namespace handwheel::drawing
