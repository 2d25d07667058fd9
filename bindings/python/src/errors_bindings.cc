#include "bindings.h"
#include "errors.h"
#include "text/suggest.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

// Raises handwheel._errors.<type>(*arguments).
template <typename... Arguments>
void Raise(const char* type, const Arguments&... arguments) {
  const py::object cls = py::module_::import("handwheel._errors").attr(type);
  const py::object error = cls(arguments...);
  PyErr_SetObject(cls.ptr(), error.ptr());
}

void Translate(std::exception_ptr thrown) {
  try {
    if (thrown) std::rethrow_exception(thrown);
  } catch (const UnknownNameError& e) {
    Raise("UnknownNameError", e.what(), e.component(), e.key());
  } catch (const NetworkError& e) {
    Raise("NetworkError", e.what(), e.component(), e.key());
  } catch (const FileError& e) {
    Raise("FileError", e.what(), e.file(), e.line(), e.column());
  } catch (const UnitError& e) {
    Raise("UnitError", e.what());
  } catch (const SettingError& e) {
    Raise("SettingError", e.what());
  } catch (const Error& e) {
    Raise("Error", e.what());
  }
}

}  // namespace

UnknownNameError NoSuchName(const std::string& what, const std::string& name,
                            const std::vector<std::string>& known) {
  return UnknownNameError("no " + what + " is named " + Quoted(name) + ";" + Suggest(name, known),
                          name);
}

void BindErrors(py::module_&) {
  py::register_local_exception_translator(&Translate);
}

}  // namespace handwheel::python
