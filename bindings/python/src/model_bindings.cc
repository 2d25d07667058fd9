#include "bindings.h"
#include "part.h"

namespace py = pybind11;

namespace handwheel::python {

void BindModel(py::module_& m) {
  ViewClass<Section<ModelChoices>>(m, "Model", "Choices that hold for every pipe of a network.")
      .Property("friction", &ModelChoices::friction,
                "Friction formula: \"colebrook\", \"churchill\", \"haaland\", ...")
      .Property("fittings", &ModelChoices::fittings,
                "How fittings lose head: \"three-K\", \"two-K\" or \"equivalent length\".")
      .Finish();
}

}  // namespace handwheel::python
