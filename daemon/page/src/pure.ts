/** What can be tested without a browser, in one bundle. */
export * from "./columns";
export * from "./figures";
export * from "./live_state";
export * from "./plan_steps";
export * from "./presence";
export * from "./result_figures";
export * from "./sentence";
export * from "./stop_state";
export * from "./trace_store";
export * from "./units";
export * from "./wind_margin";
