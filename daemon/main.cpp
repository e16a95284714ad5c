#include "daemon/cli/run_commands.hpp"

int main(int argc, char** argv) { return leeward::daemon::run_cli(argc, argv); }
