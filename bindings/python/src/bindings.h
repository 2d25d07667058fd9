#pragma once

#include <pybind11/pybind11.h>

// One function per *_bindings.cc. Each file keeps one order: helpers, class, construction,
// properties, methods, protocols (length, iteration, comparison, pickling), repr.

namespace handwheel::python {

void BindErrors(pybind11::module_& m);
void BindUnits(pybind11::module_& m);
void BindLiquid(pybind11::module_& m);
void BindCorrelations(pybind11::module_& m);
void BindValveCorrelations(pybind11::module_& m);
void BindCheckValveCorrelations(pybind11::module_& m);
void BindPumpCorrelations(pybind11::module_& m);
void BindOrificeCorrelations(pybind11::module_& m);
void BindRheology(pybind11::module_& m);
void BindValveKind(pybind11::module_& m);
void BindCheckValveKind(pybind11::module_& m);
void BindFluid(pybind11::module_& m);
void BindSite(pybind11::module_& m);
void BindModel(pybind11::module_& m);
void BindVessel(pybind11::module_& m);
void BindJunction(pybind11::module_& m);
void BindPipe(pybind11::module_& m);
void BindValve(pybind11::module_& m);
void BindCheckValve(pybind11::module_& m);
void BindPump(pybind11::module_& m);
void BindRestriction(pybind11::module_& m);
void BindNozzle(pybind11::module_& m);
void BindRegulator(pybind11::module_& m);
void BindReliefValve(pybind11::module_& m);
void BindCase(pybind11::module_& m);
void BindNetwork(pybind11::module_& m);
void BindValues(pybind11::module_& m);
void BindSummary(pybind11::module_& m);
void BindAdvice(pybind11::module_& m);
void BindLoop(pybind11::module_& m);
void BindIterationNews(pybind11::module_& m);
void BindSolution(pybind11::module_& m);
void BindSolve(pybind11::module_& m);
void BindSensitivity(pybind11::module_& m);
void BindBackflow(pybind11::module_& m);
void BindSweep(pybind11::module_& m);
void BindTransient(pybind11::module_& m);
void BindIsolate(pybind11::module_& m);
void BindFindSettings(pybind11::module_& m);
void BindFit(pybind11::module_& m);
void BindDiagram(pybind11::module_& m);
void BindBatch(pybind11::module_& m);

}  // namespace handwheel::python
