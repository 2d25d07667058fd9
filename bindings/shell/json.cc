#include "json.h"

#include <cmath>

namespace handwheel::shell {

Json Number(double value) {
  return std::isfinite(value) ? Json(value) : Json(nullptr);
}

Json Numbers(const std::vector<double>& values) {
  Json list = Json::array();
  for (const double value : values) list.push_back(Number(value));
  return list;
}

std::string Dump(const Json& json) {
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace handwheel::shell
