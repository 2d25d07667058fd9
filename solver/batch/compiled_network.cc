#include "batch/compiled_network.h"

#include <algorithm>

#include "handwheel/errors.h"
#include "text/cat.h"
#include "text/suggest.h"

namespace handwheel {
namespace {

std::size_t IndexOf(const std::vector<std::string>& names, std::string_view name,
                    const char* what) {
  const auto found = std::find(names.begin(), names.end(), name);
  if (found != names.end()) return static_cast<std::size_t>(found - names.begin());
  throw NetworkError(Cat("no ", what, " is named ", Quoted(name), ";", Suggest(name, names)),
                     std::string(name));
}

}  // namespace

CompiledNetwork::CompiledNetwork(const Network& network) {
  network.Validate();
  data_ = std::make_shared<const Data>(Data{.network = network,
                                            .point_names = network.PointNames(),
                                            .component_names = network.ComponentNames(),
                                            .plan = CompilePlan(network)});
}

const Network& CompiledNetwork::network() const {
  return data_->network;
}
const std::vector<std::string>& CompiledNetwork::point_names() const {
  return data_->point_names;
}
const std::vector<std::string>& CompiledNetwork::component_names() const {
  return data_->component_names;
}
std::size_t CompiledNetwork::PointIndex(std::string_view point) const {
  return IndexOf(data_->point_names, point, "point");
}
std::size_t CompiledNetwork::ComponentIndex(std::string_view component) const {
  return IndexOf(data_->component_names, component, "component");
}

}  // namespace handwheel
