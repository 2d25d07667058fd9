#include "requests.h"

#include <charconv>
#include <csignal>

#include "handwheel/errors.h"

namespace handwheel::shell {
namespace {

volatile std::sig_atomic_t g_interrupted = 0;

}  // namespace

Value ParseValue(const std::string& text) {
  if (text == "true") return true;
  if (text == "false") return false;
  double number = 0.0;
  const char* end = text.data() + text.size();
  const auto read = std::from_chars(text.data(), end, number);
  if (read.ec == std::errc() && read.ptr == end) return number;
  return text;
}

Settings ParseSettings(const std::vector<std::string>& texts) {
  Settings settings;
  for (const std::string& text : texts) {
    const auto equals = text.find('=');
    if (equals == std::string::npos) {
      throw SettingError("--set " + text +
                         ": expected component.property=value, such as HV-3.opening=0.4");
    }
    settings.emplace_back(text.substr(0, equals), ParseValue(text.substr(equals + 1)));
  }
  return settings;
}

CatchInterrupt::CatchInterrupt() : previous_(std::signal(SIGINT, [](int) { g_interrupted = 1; })) {}
CatchInterrupt::~CatchInterrupt() {
  std::signal(SIGINT, previous_);
}
bool CatchInterrupt::Pressed() {
  return g_interrupted != 0;
}

}  // namespace handwheel::shell
