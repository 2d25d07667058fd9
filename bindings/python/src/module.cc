#include "bindings.h"

// The order follows use: a signature shows a class by its Python name only once it is bound.
PYBIND11_MODULE(_core, m) {
  using namespace handwheel::python;
  m.doc() = "The compiled part of handwheel. Import handwheel instead.";
  BindErrors(m);
  BindUnits(m);
  BindLiquid(m);
  BindCorrelations(m);
  BindValveCorrelations(m);
  BindCheckValveCorrelations(m);
  BindPumpCorrelations(m);
  BindOrificeCorrelations(m);
  BindRheology(m);
  BindValveKind(m);
  BindCheckValveKind(m);
  BindFluid(m);
  BindSite(m);
  BindModel(m);
  BindVessel(m);
  BindJunction(m);
  BindPipe(m);
  BindValve(m);
  BindCheckValve(m);
  BindPump(m);
  BindRestriction(m);
  BindNozzle(m);
  BindRegulator(m);
  BindReliefValve(m);
  BindCase(m);
  BindNetwork(m);
  BindValues(m);
  BindSummary(m);
  BindAdvice(m);
  BindLoop(m);
  BindIterationNews(m);
  BindSolution(m);
  BindSolve(m);
  BindSensitivity(m);
  BindBackflow(m);
  BindSweep(m);
  BindTransient(m);
  BindIsolate(m);
  BindFindSettings(m);
  BindFit(m);
  BindDiagram(m);
  BindBatch(m);
  m.attr("__version__") = HANDWHEEL_VERSION;
}
