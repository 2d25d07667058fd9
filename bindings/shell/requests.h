#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <string>
#include <vector>

#include "handwheel/network.h"
#include "handwheel/steady.h"

// What the verbs read from their command lines alike.

namespace handwheel::shell {

// The plant that a verb asks about, and where its answer goes.
struct PlantRequest {
  std::string file, case_name;
  std::vector<std::string> settings;  // "HV-3.opening=0.4"
  bool json = false;
  std::string output;  // a file; empty: the screen
};

// What the help says of --case and --set, where they mean something of the verb's own.
struct PlantHelp {
  std::string of_case = "Apply a case of the file first";
  std::string of_set = "Apply a setting, such as HV-3.opening=0.4";
};

// FILE, --case and --set, which LoadPlant() follows. To be added before other positionals.
void AddPlantOptions(CLI::App* verb, PlantRequest* plant, const PlantHelp& help = {});
// --json and --output.
void AddAnswerOptions(CLI::App* verb, PlantRequest* plant);

// The same one by one, for verbs that take some of them or put others between.
void AddFile(CLI::App* verb, std::string* file);
void AddCase(CLI::App* verb, std::string* case_name, const PlantHelp& help = {});
CLI::Option* AddJson(CLI::App* verb, bool* json);
CLI::Option* AddCsv(CLI::App* verb, bool* csv);
void AddOutput(CLI::App* verb, std::string* output);

// A list of settings, "--set HV-3.opening=0.4 --set P-1.running=false".
void AddSettings(CLI::App* verb, const std::string& option, std::vector<std::string>* settings,
                 const std::string& help);
// Names after an option that may be repeated, or with commas between: "--shut HV-1,HV-2".
CLI::Option* AddValveNames(CLI::App* verb, const std::string& option,
                           std::vector<std::string>* names, const std::string& help);

// The file, then the case, then the settings. Throws FileError, NetworkError and SettingError.
Network LoadPlant(const PlantRequest& plant);

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

// A callback for SteadyOptions that stops once Ctrl-C was noted.
std::function<bool(const IterationNews&)> UntilInterrupted();

// Says on standard error that Ctrl-C ended the work; returns the ExitCode for it.
int ReportInterrupted();

}  // namespace handwheel::shell
