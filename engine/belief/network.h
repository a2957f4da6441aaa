// Network: events that may or may not be so, each caused by others or by itself, and what was reported of
// them.
//
// P(event | causes) = 1 - (1 - p_unexplained) * product over present causes of (1 - p_how_often) (noisy-OR)
// For a fault `p_unexplained` is its base chance. A network is plain data, knows no YAML and no transmission.
// It may be one of several *worlds* of which nobody knows which it is (worlds.h): then a number that differs
// between them is given for each, and what is asked is summed over them.
// Source: Pearl 1988, Probabilistic Reasoning in Intelligent Systems; Henrion 1989 for the leak - from
// memory.
#pragma once

#include <string>
#include <vector>

namespace gearwhy {

enum class EventType { kFault, kState, kFinding };

struct Cause {
  int event = 0;           // index of the causing event
  double p_how_often = 0;  // this cause alone brings the effect about this often
  // By world, where they differ; 0 in one without this link. `p_how_often` is then that of some world with
  // it.
  std::vector<double> in_world = {};
};

struct Event {
  std::string id;
  EventType type = EventType::kFault;
  double p_unexplained = 0;
  std::vector<Cause> causes;
  // `p_unexplained` by world, where they differ; 0 in one without this event. It is then their mean.
  std::vector<double> in_world = {};
};

// What a report is in one world.
struct ReportInWorld {
  double p_if_present = 1;
  double p_if_absent = 1;
  bool present = true;
};

// A report of an event. Several reports of one event are independent given the event.
struct Report {
  int event = 0;
  bool present = true;      // what was reported
  double p_if_present = 1;  // the chance of this report when the event is present
  double p_if_absent = 0;   // and when it is absent
  bool left_out = false;    // not reckoned with (left_out.h)
  // By world, where they differ: the chances are 1 and 1 in one that makes nothing of it, and what one world
  // takes for present another may take for absent.
  std::vector<ReportInWorld> in_world = {};
};

struct Network {
  std::vector<Event> events;  // acyclic; in any order
  std::vector<Report> reports;
  // The chance of each world before anything is reported; they add up to 1. Empty: there is this one alone.
  std::vector<double> worlds = {};
};

// By event: whether it is one of these or an ancestor of one, by links that ever act.
std::vector<char> AndCausesOf(const Network& network, const std::vector<int>& events);
// Which events can matter for the reports and for `wanted` events: these events themselves and their
// ancestors.
std::vector<char> BearsOnReports(const Network& network, const std::vector<int>& wanted = {});

// The causes of an event that do not bear on the reports, in order: what asking about it adds to their tree.
// `bears`: for the reports alone.
std::vector<int> CausesAdded(const Network& network, const std::vector<char>& bears, int event);

// The part of the network that the events that bear on them make. `kept[i]` is the index in the full network
// of event i of the part.
struct Ancestry {
  Network network;
  std::vector<int> kept;
  std::vector<int> index_of;  // by event of the full network: its index in the part, or -1
};
Ancestry AncestorsOfReports(const Network& network, const std::vector<int>& wanted = {});

// Indices so that causes come before effects; empty when there is a cycle (and then `cycle`, if given, holds
// one).
std::vector<int> CausesFirst(const Network& network, std::vector<int>* cycle = nullptr);

}  // namespace gearwhy
