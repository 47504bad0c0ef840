import { watchAgreeKinds } from './watch-agree.ts';
import { watchAlarmKinds } from './watch-alarm.ts';
import { watchPlanKinds } from './watch-plan.ts';
import { watchSheetKinds } from './watch-sheet.ts';

/** What was agreed about silence, what the watch did about it, and what a rescuer would ask. */
export const watchKinds = {
  ...watchPlanKinds,
  ...watchAlarmKinds,
  ...watchSheetKinds,
  ...watchAgreeKinds,
};
