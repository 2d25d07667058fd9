#include "handwheel/diagram.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>

#include "handwheel/errors.h"
#include "property/special_plant.h"

namespace handwheel {
namespace {

constexpr int kPlants = 40;
constexpr std::uint64_t kFirstSeed = 91'000;
constexpr double kTouch = 0.05;  // [mm]

struct Rectangle {
  double left, top, right, bottom;
};

Rectangle RectangleOf(const DiagramBox& box, const DiagramPlace& place) {
  return {place.x, place.y, place.x + box.width, place.y + place.height};
}

bool Overlap(const Rectangle& a, const Rectangle& b) {
  return std::min(a.right, b.right) - std::max(a.left, b.left) > kTouch &&
         std::min(a.bottom, b.bottom) - std::max(a.top, b.top) > kTouch;
}

Rectangle Hull(const DiagramPoint& a, const DiagramPoint& b) {
  return {std::min(a.x, b.x) - kTouch, std::min(a.y, b.y) - kTouch, std::max(a.x, b.x) + kTouch,
          std::max(a.y, b.y) + kTouch};
}

TEST(DiagramsOfRandomPlants, KeepLabelsApartAndLinesOrthogonalAndOffTheParts) {
  int wires = 0, through_boxes = 0, largest = 0;
  double seconds = 0.0;
  for (std::uint64_t seed = kFirstSeed; seed < kFirstSeed + kPlants; ++seed) {
    testing::MixedOptions drawn;
    drawn.max_junctions = 150;
    const Network network = testing::SpecialPlant(seed, drawn).Take();
    const Diagram diagram(network);
    const DiagramGraph& graph = diagram.graph();
    const auto start = std::chrono::steady_clock::now();
    const DiagramPlacement placement = drawing::LayOut(graph);
    seconds = std::max(
        seconds, std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
    largest = std::max(largest, static_cast<int>(network.ComponentNames().size()));

    std::vector<Rectangle> boxes;
    for (std::size_t b = 0; b < graph.boxes.size(); ++b) {
      boxes.push_back(RectangleOf(graph.boxes[b], placement.boxes[b]));
      for (std::size_t c = 0; c < b; ++c) {
        EXPECT_FALSE(Overlap(boxes[b], boxes[c]))
            << "seed " << seed << ": " << graph.boxes[b].name << " and " << graph.boxes[c].name;
      }
    }
    const std::vector<DiagramText> texts = diagram.Texts(placement);
    for (std::size_t i = 0; i < texts.size(); ++i) {
      for (std::size_t j = 0; j < i; ++j) {
        const DiagramText &a = texts[i], &b = texts[j];
        EXPECT_FALSE(
            Overlap({a.left, a.top, a.right, a.bottom}, {b.left, b.top, b.right, b.bottom}))
            << "seed " << seed << ": " << a.text << " and " << b.text;
      }
    }
    for (std::size_t w = 0; w < graph.wires.size(); ++w) {
      const DiagramWire& wire = graph.wires[w];
      const auto& corners = placement.wires[w];
      ++wires;
      bool clear = true;
      for (std::size_t i = 0; i + 1 < corners.size(); ++i) {
        const DiagramPoint &a = corners[i], &b = corners[i + 1];
        EXPECT_TRUE(a.x == b.x || a.y == b.y) << "seed " << seed << ", wire " << w;
        for (std::size_t box = 0; box < boxes.size(); ++box) {
          clear = clear &&
                  !Overlap(Hull(a, b), {boxes[box].left + kTouch, boxes[box].top + kTouch,
                                        boxes[box].right - kTouch, boxes[box].bottom - kTouch});
        }
      }
      if (!clear) ++through_boxes;
      // It ends at the sides it was told.
      const auto ends_at = [&](const DiagramEnd& end, const DiagramPoint& point) {
        const auto box = static_cast<std::size_t>(end.box);
        const double side = end.side == DiagramSide::kRight ? boxes[box].right : boxes[box].left;
        EXPECT_NEAR(point.x, side, 1e-4);
        EXPECT_GE(point.y, boxes[box].top);
        EXPECT_LE(point.y, boxes[box].bottom);
        if (end.y) {
          EXPECT_NEAR(point.y, boxes[box].top + *end.y, 1e-4);
        }
      };
      ends_at(wire.from, corners.front());
      ends_at(wire.to, corners.back());
    }
  }
  std::printf("%d lines, %d through a part; largest plant %d components, slowest layout %.2f s\n",
              wires, through_boxes, largest, seconds);
  EXPECT_EQ(through_boxes, 0);
}

}  // namespace
}  // namespace handwheel
