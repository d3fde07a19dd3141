"""Pages are compressed quickly, and as safely as by the library."""

import gzip

import pytest
from django.http import HttpResponse, StreamingHttpResponse
from django.test import RequestFactory

from shop.compression import GZipMiddleware

PAGE = "<p>3/4 round, 5C · Drawer 12</p>" * 200


def answered(response, accepts="gzip, deflate"):
    request = RequestFactory().get("/", headers={"accept-encoding": accepts})
    return GZipMiddleware(lambda request: response)(request)


@pytest.mark.parametrize("content_type", ["text/html; charset=utf-8", "application/json"])
def test_a_page_comes_out_as_it_went_in_and_smaller(content_type):
    response = answered(HttpResponse(PAGE, content_type=content_type))

    assert gzip.decompress(response.content).decode() == PAGE
    assert int(response["Content-Length"]) == len(response.content) < len(PAGE) // 10
    assert (response["Content-Encoding"], response["Vary"]) == ("gzip", "Accept-Encoding")


def test_its_length_tells_nothing_of_what_is_in_it():
    lengths = {len(answered(HttpResponse(PAGE)).content) for _ in range(50)}

    assert len(lengths) > 5


def test_a_browser_that_does_not_take_it_gets_the_page_itself():
    response = answered(HttpResponse(PAGE), accepts="identity")

    assert response.content.decode() == PAGE
    assert "Content-Encoding" not in response and response["Vary"] == "Accept-Encoding"


def test_what_is_no_page_is_left_to_the_library():
    streamed = answered(StreamingHttpResponse([PAGE]))
    marked = answered(HttpResponse(PAGE, headers={"ETag": '"1"'}))

    assert gzip.decompress(b"".join(streamed.streaming_content)).decode() == PAGE
    assert marked["ETag"] == 'W/"1"' and gzip.decompress(marked.content).decode() == PAGE
    assert answered(HttpResponse("ok")).content == b"ok"
