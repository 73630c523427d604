"""The private PostgreSQL server of an installation without `DATABASE_URL`.

`server` is what the program calls; `keeper` is the small process that runs the server for as long
as anybody holds it; `locks` and `binaries` are what both need.

How it is known that nobody needs the server any more: every process that uses it holds a shared
file lock, which the kernel takes back however the process ends, `kill -9` included. The keeper
waits for the exclusive lock and then stops the server. (The wheel's own bookkeeping is a list of
process numbers in a file, which a killed process leaves wrong.)
"""
