#ifndef HANDWHEEL_CORRELATIONS_ROUGHNESS_H_
#define HANDWHEEL_CORRELATIONS_ROUGHNESS_H_

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace handwheel {

// Absolute roughness [m] of a pipe material, new unless its name says otherwise. White attaches
// uncertainties of 20 to 70 % to such figures.
std::optional<double> RoughnessOf(std::string_view material);
std::vector<std::string> MaterialNames();

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_ROUGHNESS_H_
