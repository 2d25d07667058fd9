#include "handwheel/steady.h"

#include <gtest/gtest.h>

#include <cmath>

#include "components/loss_law.h"
#include "handwheel/errors.h"
#include "handwheel/file.h"

// The awkward networks: each has one right answer, or a refusal that names the parts.

namespace handwheel {
namespace {

constexpr const char* kWater = R"(
[fluid]
name = "test water"
density = 1000.0
viscosity = 1e-3
)";

Network Parse(const std::string& text) {
  return ParseNetwork(std::string(kWater) + text);
}

std::string Refusal(const std::string& text) {
  const Network network = Parse(text);
  try {
    Solve(network);
  } catch (const NetworkError& error) {
    return error.what();
  }
  return "no error";
}

const char* kTwoVesselsOneValve = R"(
[[vessel]]
name = "high"
level = 10.0
[[vessel]]
name = "low"
level = 4.0
[[valve]]
name = "HV-1"
from = "high"
to = "low"
kind = "globe"
bore = 0.05
k = 6.0
)";

TEST(Steady, TwoVesselsJoinedByOneValve) {
  const Solution s = Solve(Parse(kTwoVesselsOneValve));
  ASSERT_TRUE(s.converged()) << s.summary().message;
  // drop = K V²/2g, so V = sqrt(2 g 6 m / 6) exactly but for the linear branch (1e-10).
  const double v = std::sqrt(2.0 * kStandardGravity * 6.0 / 6.0);
  EXPECT_NEAR(s.Velocity("HV-1"), v, 1e-8);
  EXPECT_NEAR(s.Drop("HV-1"), 6.0, 1e-12);
}

TEST(Steady, ShutValvePassesNothing) {
  const Solution s = Solve(Parse(kTwoVesselsOneValve), {{"HV-1.opening", 0.0}});
  ASSERT_TRUE(s.converged());
  EXPECT_EQ(s.Flow("HV-1"), 0.0);
  EXPECT_EQ(s.State("HV-1"), FlowState::kShut);
}

TEST(Steady, VesselDirectlyOnACheckValve) {
  const std::string text = R"(
[[vessel]]
name = "a"
level = LEVEL
[[vessel]]
name = "b"
level = 5.0
[[check_valve]]
name = "NRV-1"
from = "a"
to = "b"
kind = "swing"
bore = 0.08
)";
  auto with_level = [&](const char* level) {
    std::string changed = text;
    changed.replace(changed.find("LEVEL"), 5, level);
    return Solve(Parse(changed));
  };
  EXPECT_GT(with_level("7.0").Flow("NRV-1"), 0.0);
  EXPECT_EQ(with_level("7.0").State("NRV-1"), FlowState::kForward);
  EXPECT_EQ(with_level("5.0").Flow("NRV-1"), 0.0);
  EXPECT_EQ(with_level("3.0").Flow("NRV-1"), 0.0);
  EXPECT_EQ(with_level("3.0").State("NRV-1"), FlowState::kShut);
  EXPECT_NEAR(with_level("3.0").Drop("NRV-1"), -2.0, 1e-12);
}

TEST(Steady, CrackingPressureHoldsACheckValveShutUpToIt) {
  for (const bool enough : {false, true}) {
    const std::string level = enough ? "6.03" : "6.01";
    const Solution s = Solve(Parse(R"(
[[vessel]]
name = "a"
level = )" + level + R"(
[[vessel]]
name = "b"
level = 5.0
[[check_valve]]
name = "NRV-1"
from = "a"
to = "b"
kind = "lift"
bore = 0.05
cracking_pressure = "10 kPa"
)"));
    ASSERT_TRUE(s.converged());
    // 10 kPa of this liquid is 1.0197 m.
    EXPECT_EQ(s.Flow("NRV-1") > 0.0, enough);
  }
}

const char* kDeadEndBehindCheckValve = R"(
[[vessel]]
name = "supply"
level = 8.0
[[junction]]
name = "n1"
[[junction]]
name = "n2"
[[check_valve]]
name = "NRV-1"
from = "n1"
to = "supply"
kind = "swing"
bore = 0.05
[[pipe]]
name = "L-1"
from = "n1"
to = "n2"
length = 20.0
bore = 0.05
)";

TEST(Steady, ZoneBehindAHoldingCheckValveIsFlaggedNotGuessed) {
  const Solution s = Solve(Parse(kDeadEndBehindCheckValve));
  ASSERT_TRUE(s.converged()) << s.summary().message;
  EXPECT_EQ(s.Flow("L-1"), 0.0);
  EXPECT_EQ(s.Flow("NRV-1"), 0.0);
  EXPECT_TRUE(std::isnan(s.Head("n1")));
  EXPECT_TRUE(std::isnan(s.Pressure("n2")));
  EXPECT_EQ(s.advice().size(), 2u);
  EXPECT_EQ(s.advice()[0].kind, "shut-in");
}

TEST(Steady, AllCheckValvesHolding) {
  const Solution s = Solve(Parse(R"(
[[vessel]]
name = "a"
level = 2.0
[[vessel]]
name = "b"
level = 9.0
[[junction]]
name = "n1"
[[check_valve]]
name = "NRV-1"
from = "a"
to = "n1"
kind = "swing"
bore = 0.05
[[check_valve]]
name = "NRV-2"
from = "n1"
to = "b"
kind = "swing"
bore = 0.05
)"));
  ASSERT_TRUE(s.converged()) << s.summary().message;
  EXPECT_EQ(s.Flow("NRV-1"), 0.0);
  EXPECT_EQ(s.Flow("NRV-2"), 0.0);
}

TEST(Steady, NoFlowAnywhere) {
  const Solution s = Solve(Parse(R"(
[[vessel]]
name = "a"
level = 5.0
[[vessel]]
name = "b"
level = 5.0
[[junction]]
name = "n"
[[pipe]]
name = "L-1"
from = "a"
to = "n"
length = 10.0
bore = 0.05
[[pipe]]
name = "L-2"
from = "n"
to = "b"
length = 10.0
bore = 0.05
)"));
  ASSERT_TRUE(s.converged());
  EXPECT_NEAR(s.Flow("L-1"), 0.0, 1e-15);
  EXPECT_NEAR(s.Head("n"), 5.0, 1e-9);
}

TEST(Steady, ParallelDuplicatesShareTheFlow) {
  std::string text = R"(
[[vessel]]
name = "a"
level = 9.0
[[vessel]]
name = "b"
level = 1.0
)";
  for (const char* name : {"L-1", "L-2", "L-3"}) {
    text += std::string("[[pipe]]\nname = \"") + name +
            "\"\nfrom = \"a\"\nto = \"b\"\nlength = 100.0\nbore = 0.05\n";
  }
  const Solution s = Solve(Parse(text));
  EXPECT_EQ(s.Flow("L-1"), s.Flow("L-2"));
  EXPECT_EQ(s.Flow("L-1"), s.Flow("L-3"));
}

TEST(Steady, SelfLoopsRestUnlessDriven) {
  const Solution s = Solve(Parse(R"(
[[vessel]]
name = "a"
level = 9.0
[[junction]]
name = "n"
[[pipe]]
name = "L-1"
from = "a"
to = "n"
length = 10.0
bore = 0.05
[[pipe]]
name = "ring"
from = "n"
to = "n"
length = 10.0
bore = 0.05
[[pump]]
name = "P-1"
from = "n"
to = "n"
coefficients = [20.0, 2000.0, 2.0]
)"));
  ASSERT_TRUE(s.converged()) << s.summary().message;
  EXPECT_NEAR(s.Flow("ring"), 0.0, 1e-12);
  EXPECT_NEAR(s.Flow("P-1"), 0.1, 1e-9);  // 20 = 2000 q²
}

TEST(Steady, IslandWithoutVesselOrDrawIsShutIn) {
  const Solution s = Solve(Parse(std::string(kTwoVesselsOneValve) + R"(
[[junction]]
name = "spare 1"
[[junction]]
name = "spare 2"
[[pipe]]
name = "L-9"
from = "spare 1"
to = "spare 2"
length = 5.0
bore = 0.05
)"));
  ASSERT_TRUE(s.converged()) << s.summary().message;
  EXPECT_EQ(s.Flow("L-9"), 0.0);
  EXPECT_TRUE(std::isnan(s.Head("spare 1")));
}

TEST(Steady, CheckValveStartingOpenLetsADrawRiseThroughIt) {
  // The only way to the draw is the check valve, started from rest.
  const Network network = Parse(R"(
[[vessel]]
name = "a"
level = 9.0
[[junction]]
name = "n"
draw = "5 m3/h"
[[check_valve]]
name = "NRV-1"
from = "a"
to = "n"
kind = "swing"
bore = 0.05
)");
  SteadyOptions options;
  options.initial_flow = {-1.0};
  const Solution s = Solve(network, options);
  ASSERT_TRUE(s.converged());
  EXPECT_NEAR(s.Flow("NRV-1"), 5.0 / 3600.0, 1e-15);
}

TEST(Steady, NozzleDrawsNoAirIn) {
  const std::string text = R"(
[[vessel]]
name = "a"
level = 2.0
[[junction]]
name = "n"
elevation = ELEVATION
[[pipe]]
name = "L-1"
from = "a"
to = "n"
length = 10.0
bore = 0.05
[[nozzle]]
name = "N-1"
from = "n"
bore = 0.02
)";
  auto at = [&](const char* elevation) {
    std::string changed = text;
    changed.replace(changed.find("ELEVATION"), 9, elevation);
    return Solve(Parse(changed));
  };
  EXPECT_GT(at("1.0").Flow("N-1"), 0.0);
  EXPECT_EQ(at("3.0").Flow("N-1"), 0.0);
  EXPECT_NEAR(at("3.0").Pressure("n"), -1000.0 * kStandardGravity, 1e-6);
}

TEST(Steady, ResistanceContrastsOf1e18KeepTheirDigits) {
  // Feed q at n; two restrictions to vessels 10 m apart. drop = K/(2gA²) q sqrt(q² + q_linear²),
  // whose inverse is LossLaw::FlowAt, so the exact flows are known.
  const Solution s = Solve(Parse(R"(
[[vessel]]
name = "a"
level = 10.0
[[vessel]]
name = "b"
level = 0.0
[[junction]]
name = "n"
draw = 1e-3
[[restriction]]
name = "R-big"
from = "a"
to = "n"
k = 1e9
bore = 0.05
[[restriction]]
name = "R-small"
from = "n"
to = "b"
k = 1e-9
bore = 0.05
)"));
  ASSERT_TRUE(s.converged()) << s.summary().message;
  const double area = 3.14159265358979 / 4.0 * 0.05 * 0.05;
  const LossLaw big{1e9 / (2.0 * kStandardGravity * area * area),
                    3.14159265358979 / 4.0 * 0.05 * 1e-6};
  // n stands 1.3e-11 m below b, which is the head of a velocity of 0.5 m/s at K = 1e-9.
  const double through = big.FlowAt(10.0 + s.Head("b") - s.Head("n"));
  EXPECT_NEAR(s.Flow("R-big"), through, 1e-12 * through);
  EXPECT_NEAR(s.Flow("R-small"), through - 1e-3, 1e-15);
  EXPECT_LE(s.summary().max_flow_imbalance, 1e-17);
}

TEST(Steady, RefusesANetworkWithoutAnyPressure) {
  EXPECT_EQ(Refusal("[[junction]]\nname = \"n\"\ndraw = 1e-3\n"),
            "the network has no vessel and no nozzle, so nothing sets a pressure; add a vessel");
}

TEST(Steady, RefusesDrawsBehindShutValvesAndNamesTheValve) {
  EXPECT_EQ(Refusal(R"(
[[vessel]]
name = "a"
level = 2.0
[[junction]]
name = "mixer"
draw = 1e-3
[[valve]]
name = "HV-3"
from = "a"
to = "mixer"
kind = "gate"
bore = 0.05
opening = 0.0
)"),
            "draws at \"mixer\" can reach no vessel; open \"HV-3\" or join them to a vessel");
}

TEST(Steady, RefusesADrawThatACheckValveKeepsDry) {
  EXPECT_EQ(Refusal(R"(
[[vessel]]
name = "a"
level = 2.0
[[junction]]
name = "mixer"
draw = 1e-3
[[check_valve]]
name = "NRV-1"
from = "mixer"
to = "a"
kind = "swing"
bore = 0.05
)"),
            "draws at \"mixer\" can be fed by no vessel: \"NRV-1\" may only pass the other way");
}

TEST(Steady, RefusesAFeedThatCannotLeave) {
  EXPECT_EQ(Refusal(R"(
[[vessel]]
name = "a"
level = 2.0
[[junction]]
name = "dosing"
feed = 1e-3
[[check_valve]]
name = "NRV-1"
from = "a"
to = "dosing"
kind = "swing"
bore = 0.05
)"),
            "feeds into \"dosing\" can leave to no vessel or nozzle: \"NRV-1\" may only pass the "
            "other way");
}

TEST(Steady, AFeedMayServeADrawThatNoVesselReaches) {
  const Solution s = Solve(Parse(R"(
[[vessel]]
name = "a"
level = 2.0
[[junction]]
name = "well"
feed = 3e-3
[[junction]]
name = "user"
draw = 1e-3
[[pipe]]
name = "L-1"
from = "well"
to = "user"
length = 10.0
bore = 0.05
[[check_valve]]
name = "NRV-1"
from = "user"
to = "a"
kind = "swing"
bore = 0.05
)"));
  ASSERT_TRUE(s.converged());
  EXPECT_NEAR(s.Flow("NRV-1"), 2e-3, 1e-15);
}

TEST(Steady, CallbackStopsTheRun) {
  SteadyOptions options;
  options.callback = [](const IterationNews&) { return false; };
  const Solution s = Solve(Parse(kTwoVesselsOneValve), options);
  EXPECT_EQ(s.summary().termination, Termination::kInterrupted);
  EXPECT_FALSE(s.converged());
}

TEST(Steady, RefusesSenselessOptions) {
  SteadyOptions options;
  options.head_tolerance = 0.0;
  EXPECT_THROW(Solve(Parse(kTwoVesselsOneValve), options), SettingError);
  options = {};
  options.initial_flow = {1.0, 2.0};
  EXPECT_THROW(Solve(Parse(kTwoVesselsOneValve), options), SettingError);
}

TEST(Steady, SameInputGivesTheSameBits) {
  const Network network = Parse(kDeadEndBehindCheckValve);
  const Solution a = Solve(network), b = Solve(network);
  EXPECT_EQ(a.flow(), b.flow());
}

TEST(Steady, UnknownNamesAreRefusedWithASuggestion) {
  const Solution s = Solve(Parse(kTwoVesselsOneValve));
  try {
    s.Flow("HV1");
    FAIL();
  } catch (const NetworkError& error) {
    EXPECT_NE(std::string(error.what()).find("HV-1"), std::string::npos) << error.what();
  }
}

}  // namespace
}  // namespace handwheel
