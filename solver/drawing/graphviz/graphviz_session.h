#pragma once

#include <graphviz/gvc.h>

#include <mutex>
#include <string>

#include "handwheel/diagram.h"

namespace handwheel::drawing {

// Graphviz's points for one millimetre. It rounds places to whole points.
inline constexpr double kPointsPerMm = 8.0;

// Graphviz keeps global state: one graph at a time in the whole process. While a session lives,
// what Graphviz would print is dropped.
class GraphvizSession {
 public:
  GraphvizSession();
  ~GraphvizSession();
  GraphvizSession(const GraphvizSession&) = delete;
  GraphvizSession& operator=(const GraphvizSession&) = delete;

  GVC_t* context() { return context_; }

 private:
  std::unique_lock<std::mutex> lock_;
  agusererrf previous_;
  GVC_t* context_;
};

// A graph that Graphviz lays out. Nodes are known to it by numbers alone: no text of the user's
// reaches it.
class GraphvizGraph {
 public:
  explicit GraphvizGraph(GraphvizSession& session);
  ~GraphvizGraph();
  GraphvizGraph(const GraphvizGraph&) = delete;
  GraphvizGraph& operator=(const GraphvizGraph&) = delete;

  void Set(const char* key, const std::string& value);  // of the graph
  Agnode_t* AddBox(double width, double height);        // [mm]
  void AddEdge(Agnode_t* from, Agnode_t* to, int weight = 1);

  // Whether the engine did it. Once in the life of a graph.
  bool LayOut(const char* engine);

  DiagramPoint MiddleOf(Agnode_t* node) const;  // afterwards

 private:
  Agsym_t* Declare(int kind, const char* key, const std::string& value);

  GraphvizSession& session_;
  Agraph_t* graph_;
  Agsym_t *width_, *height_, *weight_;
  int count_ = 0;
  bool laid_out_ = false;
};

}  // namespace handwheel::drawing
