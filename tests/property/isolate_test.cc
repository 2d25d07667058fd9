#include "handwheel/isolate.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdio>
#include <map>
#include <set>

#include "handwheel/errors.h"
#include "property/random_network.h"

namespace handwheel {
namespace {

using Names = std::vector<std::string>;
using NameSet = std::set<std::string>;

constexpr int kSeeds = 300;
constexpr int kMostCounted = 12;

// A small plant in which many pipes have become valves, some of which do not count.
struct SmallPlant {
  Network network;
  Names target;
};

SmallPlant Draw(std::uint64_t seed) {
  testing::MixedOptions options;
  options.min_junctions = 7;
  options.max_junctions = 11;
  options.draws = false;
  SmallPlant plant{testing::MixedPlant(seed, options).Take(), {}};
  testing::Dice dice(seed + 1000000);
  Network& network = plant.network;
  static const char* kKinds[] = {"gate", "ball",          "diaphragm weir", "globe",
                                 "plug", "angle",         "needle",         "pinch enclosed body",
                                 "gate", "control linear"};
  std::vector<Pipe> kept;
  for (const Pipe& pipe : network.pipes) {
    if (network.valves.size() >= kMostCounted || !dice.Chance(0.9)) {
      kept.push_back(pipe);
      continue;
    }
    Valve valve;
    valve.name = "valve for " + pipe.name;
    valve.from = pipe.from;
    valve.to = pipe.to;
    valve.bore = pipe.bore;
    valve.kind = dice.Choose(kKinds);
    if (dice.Chance(0.1)) valve.opening = 0.0;
    if (dice.Chance(0.05)) valve.condition = "passing";
    network.valves.push_back(valve);
  }
  network.pipes = kept;
  if (dice.Chance(0.2)) network.junctions[0].feed = 1e-6;
  Names names = network.ComponentNames();
  if (dice.Chance(0.3)) names = network.PointNames();
  const int count = 1 + (dice.Chance(0.3) ? dice.Pick(3) : 0);
  for (int i = 0; i < count; ++i) plant.target.push_back(dice.Choose(names));
  return plant;
}

// A second opinion that shares nothing with the study but the network: every subset of the valves
// that count, walked from the target.
class EverySubset {
 public:
  explicit EverySubset(const SmallPlant& plant) : network_(plant.network) {
    for (const std::string& name : plant.target) target_.insert(name);
    AddAll(network_.pipes);
    AddAll(network_.valves);
    AddAll(network_.check_valves);
    AddAll(network_.pumps);
    AddAll(network_.restrictions);
    AddAll(network_.regulators);
    for (const Nozzle& nozzle : network_.nozzles) {
      if (target_.contains(nozzle.name)) start_.insert(nozzle.from);
    }
    for (const Valve& valve : network_.valves) {
      const bool counts = valve.condition == "sound" && !valve.kind.starts_with("pinch") &&
                          !valve.kind.starts_with("control") && !target_.contains(valve.name);
      if (counts) counted_.push_back(valve.name);
    }
    for (const std::string& name : network_.PointNames()) {
      if (target_.contains(name)) start_.insert(name);
    }
  }

  const Names& counted() const { return counted_; }

  // Vessels, unless worked on, and feeds that the target reaches past no valve of the set.
  NameSet Sources(const NameSet& shut) const {
    NameSet reached = start_;
    for (bool grows = true; grows;) {
      grows = false;
      for (const auto& [name, ends] : parts_) {
        if (shut.contains(name)) continue;
        const bool a = reached.contains(ends.first), b = reached.contains(ends.second);
        if (a == b) continue;
        reached.insert(a ? ends.second : ends.first);
        grows = true;
      }
    }
    NameSet sources;
    for (const Vessel& vessel : network_.vessels) {
      if (reached.contains(vessel.name) && !target_.contains(vessel.name)) {
        sources.insert(vessel.name);
      }
    }
    for (const Junction& junction : network_.junctions) {
      if (junction.feed > 0.0 && reached.contains(junction.name)) sources.insert(junction.name);
    }
    return sources;
  }

  // Minimal sets that leave no source but those that no set can hold back.
  std::set<NameSet> MinimalSets() const {
    const std::size_t n = counted_.size();
    const NameSet unavoidable = Sources(NameSet(counted_.begin(), counted_.end()));
    std::vector<char> isolates(std::size_t{1} << n);
    for (std::size_t mask = 0; mask < isolates.size(); ++mask) {
      isolates[mask] = Sources(SetOf(mask)) == unavoidable;
    }
    std::set<NameSet> minimal;
    for (std::size_t mask = 0; mask < isolates.size(); ++mask) {
      bool least = isolates[mask] != 0;
      for (std::size_t i = 0; i < n && least; ++i) {
        const std::size_t bit = std::size_t{1} << i;
        if (mask & bit) least = !isolates[mask & ~bit];
      }
      if (least) minimal.insert(SetOf(mask));
    }
    return minimal;
  }

 private:
  template <typename Part>
  void AddAll(const std::vector<Part>& parts) {
    for (const Part& part : parts) {
      parts_[part.name] = {part.from, part.to};
      if (!target_.contains(part.name)) continue;
      start_.insert(part.from);
      start_.insert(part.to);
    }
  }

  NameSet SetOf(std::size_t mask) const {
    NameSet set;
    for (std::size_t i = 0; i < counted_.size(); ++i) {
      if (mask >> i & 1) set.insert(counted_[i]);
    }
    return set;
  }

  const Network& network_;
  NameSet target_, start_;
  std::map<std::string, std::pair<std::string, std::string>> parts_;
  Names counted_;
};

IsolateOptions ListAll() {
  IsolateOptions options;
  options.max_sets = 100000;
  options.max_search_steps = 1000000;
  return options;
}

std::set<NameSet> SetsOf(const Isolation& isolation) {
  std::set<NameSet> sets;
  for (const IsolatingSet& set : isolation.sets) {
    sets.insert(NameSet(set.valves.begin(), set.valves.end()));
  }
  return sets;
}

TEST(Isolate, FindsTheMinimalSetsThatTryingEverySubsetFinds) {
  std::size_t most_sets = 0, impossible = 0, sets = 0, most_counted = 0;
  for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
    const SmallPlant plant = Draw(seed);
    const EverySubset subsets(plant);
    ASSERT_LE(subsets.counted().size(), static_cast<std::size_t>(kMostCounted) + 4);
    const Isolation isolation = Isolate(plant.network, plant.target, ListAll());
    EXPECT_TRUE(isolation.all_sets_listed) << "seed " << seed;
    const std::set<NameSet> expected = subsets.MinimalSets();
    EXPECT_EQ(SetsOf(isolation), expected) << "seed " << seed;
    EXPECT_EQ(isolation.sets.size(), expected.size()) << "twice one: seed " << seed;
    for (std::size_t i = 1; i < isolation.sets.size(); ++i) {
      EXPECT_LE(isolation.sets[i - 1].valves.size(), isolation.sets[i].valves.size());
    }
    NameSet open;
    for (const OpenPath& path : isolation.open_paths) open.insert(path.source);
    const Names& counted = subsets.counted();
    EXPECT_EQ(open, subsets.Sources(NameSet(counted.begin(), counted.end()))) << "seed " << seed;
    impossible += !isolation.possible;
    sets += expected.size();
    most_sets = std::max(most_sets, expected.size());
    most_counted = std::max(most_counted, counted.size());
  }
  std::printf(
      "measured: %d plants, up to %zu valves that count, %zu minimal sets in all, at most "
      "%zu; %zu plants that no valves isolate\n",
      kSeeds, most_counted, sets, most_sets, impossible);
}

TEST(Isolate, TheFirstFewAreTheFewestOfAll) {
  for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
    const SmallPlant plant = Draw(seed);
    const Isolation all = Isolate(plant.network, plant.target, ListAll());
    IsolateOptions options;
    options.max_sets = 2;
    const Isolation few = Isolate(plant.network, plant.target, options);
    ASSERT_EQ(few.sets.size(), std::min<std::size_t>(2, all.sets.size())) << "seed " << seed;
    for (std::size_t i = 0; i < few.sets.size(); ++i) {
      EXPECT_EQ(few.sets[i].valves, all.sets[i].valves) << "seed " << seed;
    }
    EXPECT_EQ(few.all_sets_listed, all.sets.size() <= 2) << "seed " << seed;
  }
}

// What isolates goes on isolating with more shut; without one of its valves it does not; and
// nothing leaks while every valve holds.
TEST(VerifyIsolation, AgreesWithTheSetsAndWithWhatIsComputed) {
  int solved = 0, leaks = 0;
  for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
    const SmallPlant plant = Draw(seed);
    testing::Dice dice(seed);
    const Isolation isolation = Isolate(plant.network, plant.target);
    const Names& least = isolation.sets.front().valves;
    Names more = least;
    for (const Valve& valve : plant.network.valves) {
      if (dice.Chance(0.5)) more.push_back(valve.name);
    }
    for (const CheckValve& valve : plant.network.check_valves) more.push_back(valve.name);
    const IsolationCheck check = VerifyIsolation(plant.network, plant.target, least);
    EXPECT_EQ(check.isolates, isolation.possible) << "seed " << seed;
    EXPECT_EQ(VerifyIsolation(plant.network, plant.target, more).isolates, isolation.possible)
        << "seed " << seed;
    for (std::size_t i = 0; i < least.size(); ++i) {
      Names fewer = least;
      fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(i));
      EXPECT_FALSE(VerifyIsolation(plant.network, plant.target, fewer).isolates) << "seed " << seed;
    }
    for (const LeakEstimate& leak : check.leaks) {
      solved += leak.solved;
      ++leaks;
      EXPECT_TRUE(!leak.solved || leak.flow >= 0.0) << "seed " << seed;
    }
    if (check.isolates && check.leaks[0].solved) {
      EXPECT_LE(check.leaks[0].flow, 1e-9) << "seed " << seed;
    }
  }
  std::printf("measured: %d of %d plants with passing valves solved\n", solved, leaks);
  EXPECT_EQ(solved, leaks);
}

TEST(Isolate, ACheckValveInPlaceOfAPipeNeverHelps) {
  for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
    const SmallPlant plant = Draw(seed);
    testing::Dice dice(seed);
    SmallPlant guarded = plant;
    std::vector<Pipe> kept;
    for (const Pipe& pipe : plant.network.pipes) {
      if (!dice.Chance(0.5)) {
        kept.push_back(pipe);
        continue;
      }
      CheckValve valve;
      valve.name = pipe.name;
      valve.from = dice.Chance(0.5) ? pipe.from : pipe.to;
      valve.to = valve.from == pipe.from ? pipe.to : pipe.from;
      valve.kind = "swing";
      valve.bore = pipe.bore;
      guarded.network.check_valves.push_back(valve);
    }
    guarded.network.pipes = kept;
    const Isolation before = Isolate(plant.network, plant.target, ListAll());
    const Isolation after = Isolate(guarded.network, plant.target, ListAll());
    EXPECT_EQ(SetsOf(after), SetsOf(before)) << "seed " << seed;
    EXPECT_EQ(after.possible, before.possible) << "seed " << seed;
  }
}

}  // namespace
}  // namespace handwheel
