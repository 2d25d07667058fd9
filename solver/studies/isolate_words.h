#pragma once

#include <string>
#include <vector>

#include "handwheel/isolate.h"
#include "studies/isolate_graph.h"

// What the answers say in plain words.

namespace handwheel {

// The set to go by: with blanks where valves alone do not do.
const IsolatingSet& BestSet(const Isolation& isolation);

std::string IsolationVerdict(const Isolation& isolation);
std::vector<std::string> IsolationSteps(const Isolation& isolation, const IsolateGraph& graph);
std::vector<std::string> IsolationCautions(const Isolation& isolation, const IsolateGraph& graph,
                                           const IsolateTarget& target);

std::string CheckVerdict(const IsolationCheck& check);
std::vector<std::string> CheckCautions(const IsolationCheck& check, const IsolateGraph& graph,
                                       const IsolateTarget& target);

// "a", "a and b", "a, b and c"; at most so many, then "a, b and 12 more".
std::string Together(const std::vector<std::string>& names, std::size_t most = 8);
// "12.5 litres", "3.2 m3"
std::string InLitres(double volume);
// "day tank by way of L-1 and HV-1", "day tank directly"
std::string WayOf(const OpenPath& path);
}  // namespace handwheel
