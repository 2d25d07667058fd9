#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

// What the verbs that answer in JSON share.

namespace handwheel::shell {

using Json = nlohmann::ordered_json;

// null for NaN and infinities, which JSON has not.
Json Number(double value);
Json Numbers(const std::vector<double>& values);

// Indented, ended by a new line; bytes that are not UTF-8 replaced.
std::string Dump(const Json& json);

}  // namespace handwheel::shell
