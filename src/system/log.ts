import { type DestinationStream, type Logger, pino } from 'pino';

/**
 * The log: JSON Lines on standard error, no personal data. What might carry some is cut out here as
 * well, in case a caller forgets.
 */
export function createLog(level: string, to?: DestinationStream): Logger {
  return pino(
    {
      level,
      base: null,
      redact: {
        paths: [
          'token',
          'password',
          'email',
          'phone',
          '*.token',
          '*.email',
          '*.phone',
          '*.ntfy',
          '*.headers',
        ],
        remove: true,
      },
    },
    to ?? pino.destination({ dest: 2, sync: true }),
  );
}
