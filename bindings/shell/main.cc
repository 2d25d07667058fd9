#include <csignal>
#include <iostream>

#include "commands.h"
#include "handwheel/errors.h"
#include "handwheel/steady.h"
#include "output.h"

namespace {

using namespace handwheel::shell;

int Complain(const std::string& message) {
  std::cerr << "handwheel: " << message << "\n";
  return kBadInput;
}

int Run(int argc, char** argv) {
  CLI::App app("Flows and pressures in process-plant piping.", "handwheel");
  app.set_version_flag("--version", "handwheel " HANDWHEEL_VERSION);
  app.require_subcommand(1);
  app.footer(std::string(handwheel::kCaution));
  Command chosen;
  AddSolve(app, &chosen);
  AddBackflow(app, &chosen);
  AddSweep(app, &chosen);
  AddSimulate(app, &chosen);
  AddMany(app, &chosen);
  AddIsolate(app, &chosen);
  AddVerify(app, &chosen);
  AddCheck(app, &chosen);
  AddShow(app, &chosen);
  AddSensitivities(app, &chosen);
  AddSettingsVerb(app, &chosen);
  AddFit(app, &chosen);
  AddDiagram(app, &chosen);
  AddTurns(app, &chosen);
  AddKinds(app, &chosen);
  AddUnits(app, &chosen);
  try {
    app.parse(argc, argv);
    return chosen();
  } catch (const CLI::Success& wish) {  // --help, --version
    return app.exit(wish);
  } catch (const CLI::ParseError& error) {
    return Complain(std::string(error.what()) + " (see handwheel --help)");
  }
}

}  // namespace

int main(int argc, char** argv) {
  std::signal(SIGPIPE,
              SIG_IGN);  // a closed pipe is an error of write(), not the end of the program
  try {
    return Run(argc, argv);
  } catch (const handwheel::Error& error) {
    return Complain(error.what());
  } catch (const OutputError& error) {
    return Complain(error.what());
  } catch (const std::bad_alloc&) {
    return Complain("out of memory");
  }
}
