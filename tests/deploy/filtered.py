"""Runs a command under a system-call filter, as systemd's SystemCallFilter= sets it: filtered.py ACTION NAMES COMMAND...

ACTION is kill, or an errno such as EPERM. NAMES is a comma-separated list of what is allowed. Names that this
machine's library or architecture doesn't know are passed over, as systemd does. Needs libseccomp (Debian: libseccomp2).
"""
import ctypes
import errno
import os
import sys

KILL_PROCESS, ERRNO, ALLOW = 0x80000000, 0x00050000, 0x7FFF0000

action, names, *command = sys.argv[1:]
library = ctypes.CDLL("libseccomp.so.2", use_errno=True)
library.seccomp_init.restype = ctypes.c_void_p
library.seccomp_init.argtypes = [ctypes.c_uint32]
library.seccomp_rule_add.argtypes = [ctypes.c_void_p, ctypes.c_uint32, ctypes.c_int, ctypes.c_uint]
library.seccomp_load.argtypes = [ctypes.c_void_p]

refusal = KILL_PROCESS if action == "kill" else ERRNO | getattr(errno, action)
context = library.seccomp_init(refusal)
for name in names.split(","):
    number = library.seccomp_syscall_resolve_name(name.encode())
    if number < 0:
        continue
    if library.seccomp_rule_add(context, ALLOW, number, 0) != 0:
        sys.exit(f"no rule for {name}")
# Sets no_new_privs as well, as the unit's NoNewPrivileges= does.
if library.seccomp_load(context) != 0:
    sys.exit("the filter could not be loaded")
os.execvp(command[0], command)
