#pragma once

#include <string>
#include <vector>

#include "handwheel/network.h"

// What the verbs read from their command lines alike.

namespace handwheel::shell {

// true, false, a number, else text.
Value ParseValue(const std::string& text);

// Of --set: "HV-3.opening=0.4". Throws SettingError.
Settings ParseSettings(const std::vector<std::string>& texts);

// While one lives, Ctrl-C is noted instead of ending the program.
class CatchInterrupt {
 public:
  CatchInterrupt();
  ~CatchInterrupt();
  CatchInterrupt(const CatchInterrupt&) = delete;
  CatchInterrupt& operator=(const CatchInterrupt&) = delete;

  static bool Pressed();

 private:
  void (*previous_)(int);
};

}  // namespace handwheel::shell
