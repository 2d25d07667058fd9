#include "batch/compiled_network.h"

#include "network/names.h"

namespace handwheel {

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
  return IndexOfName(data_->point_names, point, "point");
}
std::size_t CompiledNetwork::ComponentIndex(std::string_view component) const {
  return IndexOfName(data_->component_names, component, "component");
}

}  // namespace handwheel
