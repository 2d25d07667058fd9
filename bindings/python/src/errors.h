#pragma once

#include <string>
#include <vector>

#include "handwheel/errors.h"

namespace handwheel::python {

// A name that is not there, asked for with []: in Python a NetworkError that is a KeyError too.
class UnknownNameError : public NetworkError {
 public:
  using NetworkError::NetworkError;
};

// Message: `no component is named "L-5"; did you mean "L-4"?`
UnknownNameError NoSuchName(const std::string& what, const std::string& name,
                            const std::vector<std::string>& known);

}  // namespace handwheel::python
