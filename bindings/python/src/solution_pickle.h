#pragma once

#include <pybind11/pybind11.h>

#include "solution_view.h"

namespace handwheel::python {

pybind11::tuple PickleLiquid(const Liquid& liquid);
Liquid UnpickleLiquid(const pybind11::tuple& state);

// Every field of a solution, so that nothing is solved again and every bit is kept.
pybind11::tuple PickleSolution(const SolutionView& view);
std::shared_ptr<SolutionView> UnpickleSolution(const pybind11::tuple& state);

}  // namespace handwheel::python
