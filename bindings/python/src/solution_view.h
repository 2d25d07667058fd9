#pragma once

#include <pybind11/pybind11.h>

#include <memory>
#include <string>
#include <vector>

#include "handwheel/steady.h"
#include "named_values.h"

namespace handwheel::python {

struct NamedLoop {
  std::vector<std::string> components;
  std::vector<int> signs;
  bool between_vessels = false;
};

// A solution as Python holds it: with its case and the index of its names.
struct SolutionView {
  SolutionView(Solution solved, std::string name_of_case)
      : solution(std::move(solved)),
        case_name(std::move(name_of_case)),
        points(std::make_shared<NameIndex>("point", solution.point_names())),
        components(std::make_shared<NameIndex>("component", solution.component_names())) {}

  Solution solution;
  std::string case_name;  // empty: none
  std::shared_ptr<const NameIndex> points, components;
};

pybind11::tuple PickleSummary(const SteadySummary& summary);
SteadySummary UnpickleSummary(const pybind11::tuple& state);

std::string_view TerminationName(Termination termination);

}  // namespace handwheel::python
