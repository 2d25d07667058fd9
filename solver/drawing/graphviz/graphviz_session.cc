#include "drawing/graphviz/graphviz_session.h"

#include "text/cat.h"
#include "text/number.h"

namespace handwheel::drawing {
namespace {

constexpr double kPointsPerInch = 72.0;

std::mutex& TheOnlyGraphviz() {
  static std::mutex mutex;
  return mutex;
}

int Drop(char*) {
  return 0;
}

// cgraph takes texts that it does not change as char*.
char* Chars(const char* text) {
  return const_cast<char*>(text);  // NOLINT
}

std::string Inches(double mm) {
  return FormatDecimal(mm * kPointsPerMm / kPointsPerInch);
}

}  // namespace

GraphvizSession::GraphvizSession()
    : lock_(TheOnlyGraphviz()), previous_(agseterrf(&Drop)), context_(gvContext()) {}

GraphvizSession::~GraphvizSession() {
  gvFreeContext(context_);
  agseterrf(previous_);
}

GraphvizGraph::GraphvizGraph(GraphvizSession& session)
    : session_(session), graph_(agopen(Chars("g"), Agdirected, nullptr)) {
  Declare(AGNODE, "shape", "box");
  Declare(AGNODE, "label", "");
  Declare(AGNODE, "fixedsize", "true");
  width_ = Declare(AGNODE, "width", "1");
  height_ = Declare(AGNODE, "height", "1");
  weight_ = Declare(AGEDGE, "weight", "1");
}

GraphvizGraph::~GraphvizGraph() {
  if (laid_out_) gvFreeLayout(session_.context(), graph_);
  agclose(graph_);
}

void GraphvizGraph::Set(const char* key, const std::string& value) {
  Declare(AGRAPH, key, value);
}

Agsym_t* GraphvizGraph::Declare(int kind, const char* key, const std::string& value) {
  return agattr(graph_, kind, Chars(key), Chars(value.c_str()));
}

Agnode_t* GraphvizGraph::AddBox(double width, double height) {
  std::string name = Cat("n", std::to_string(count_++));
  Agnode_t* node = agnode(graph_, name.data(), 1);
  agxset(node, width_, Inches(width).data());
  agxset(node, height_, Inches(height).data());
  return node;
}

void GraphvizGraph::AddEdge(Agnode_t* from, Agnode_t* to, int weight) {
  Agedge_t* edge = agedge(graph_, from, to, nullptr, 1);
  agxset(edge, weight_, std::to_string(weight).data());
}

bool GraphvizGraph::LayOut(const char* engine) {
  laid_out_ = gvLayout(session_.context(), graph_, engine) == 0;
  return laid_out_;
}

// Graphviz's y points upwards.
DiagramPoint GraphvizGraph::MiddleOf(Agnode_t* node) const {
  const pointf middle = ND_coord(node);
  return {middle.x / kPointsPerMm, -middle.y / kPointsPerMm};
}

}  // namespace handwheel::drawing
