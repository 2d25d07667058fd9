#pragma once

#include <CLI/CLI.hpp>
#include <functional>

namespace handwheel::shell {

enum ExitCode {
  kOk = 0,
  kNotConverged = 1,
  kNotIsolated = 1,
  kNotReached = 1,
  kBadInput = 2,
  kInterrupted = 130,  // as a shell reports a program ended by Ctrl-C
};

// What a chosen command does; returns an ExitCode. Throws handwheel::Error and OutputError.
using Command = std::function<int()>;

// Each adds one verb to the command line, which puts its action in *chosen.
void AddSolve(CLI::App& app, Command* chosen);
void AddBackflow(CLI::App& app, Command* chosen);
void AddSweep(CLI::App& app, Command* chosen);
void AddSimulate(CLI::App& app, Command* chosen);
void AddMany(CLI::App& app, Command* chosen);
void AddIsolate(CLI::App& app, Command* chosen);
void AddVerify(CLI::App& app, Command* chosen);
void AddCheck(CLI::App& app, Command* chosen);
void AddShow(CLI::App& app, Command* chosen);
void AddSensitivities(CLI::App& app, Command* chosen);
void AddSettingsVerb(CLI::App& app, Command* chosen);
void AddFit(CLI::App& app, Command* chosen);
void AddDiagram(CLI::App& app, Command* chosen);
void AddTurns(CLI::App& app, Command* chosen);
void AddKinds(CLI::App& app, Command* chosen);
void AddUnits(CLI::App& app, Command* chosen);

}  // namespace handwheel::shell
