"""One request after the other: the book is in memory, and all threads of the server share the connection of the test.

A browser asks for two things at once whenever it likes, and is closed in the middle of an answer. Two requests in one
connection would begin and end each other's transactions, and a book that is being read cannot be put back.
"""

import threading

# Again in the same thread, where a test that holds it asks the server by Django's client.
BOOK_IS_FREE = threading.RLock()


class OneAtATime:
    """Middleware, in front of all others."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        with BOOK_IS_FREE:
            return self.get_response(request)
