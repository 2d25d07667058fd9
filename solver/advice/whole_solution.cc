#include "advice/rules.h"
#include "advice/words.h"

namespace handwheel {

MaybeAdvice NotSolved(const Solution& solution) {
  const SteadySummary& summary = solution.summary();
  const std::string& worst = summary.worst_component;
  std::string outcome = summary.message;
  if (outcome.ends_with('.')) outcome.pop_back();
  return Advice{.component = worst.empty() ? summary.worst_point : worst,
                .kind = "not solved",
                .severity = kDanger,
                .message = "These numbers are no solution: " + outcome + ".",
                .check =
                    "the data of the parts named, set points first; then raise the number of "
                    "iterations.",
                .caution = "Do not act on a solve that did not converge."};
}

// FR of IEC 60534-2-1 is for Newtonian liquids, and so are K1/Re of the fittings.
MaybeAdvice NotNewtonian(const Evidence& evidence) {
  const Network& network = evidence.plant.network;
  if (evidence.plant.liquid.IsNewtonian() || network.valves.empty()) return std::nullopt;
  return Advice{.kind = "estimate beyond the method",
                .severity = kNote,
                .message =
                    "The liquid is not Newtonian: losses of valves and fittings are carried "
                    "over from Newtonian liquids, beyond the standard's range.",
                .check = "a measured drop across one valve at the usual flow."};
}

}  // namespace handwheel
